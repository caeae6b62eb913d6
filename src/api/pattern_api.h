/* A pattern as the api itself sees it. */
#ifndef THAW_API_PATTERN_API_H
#define THAW_API_PATTERN_API_H

#include "scenario/pattern_file.h"
#include "thawprint/pieces.h"

struct thaw_pattern {
    thaw_pattern_sheet sheet;      /* own */
};

#endif
