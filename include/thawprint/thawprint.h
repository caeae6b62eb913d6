/* All of thawprint's public interface. */
#ifndef THAWPRINT_THAWPRINT_H
#define THAWPRINT_THAWPRINT_H

#include "thawprint/border.h"
#include "thawprint/catalogue.h"
#include "thawprint/chances.h"
#include "thawprint/compare.h"
#include "thawprint/learn.h"
#include "thawprint/notebook.h"
#include "thawprint/pieces.h"
#include "thawprint/preview.h"
#include "thawprint/record.h"
#include "thawprint/say.h"
#include "thawprint/scenario.h"
#include "thawprint/shelf.h"
#include "thawprint/status.h"
#include "thawprint/strip.h"
#include "thawprint/supplies.h"
#include "thawprint/version.h"
#include "thawprint/words.h"

#endif
