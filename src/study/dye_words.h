/* What a dye is called where a reader looks for the words of her own file. */
#ifndef THAW_STUDY_DYE_WORDS_H
#define THAW_STUDY_DYE_WORDS_H

#include "model/dye_list.h"
#include "thawprint/preview.h"

/* Dye i of the list: "magenta" where a colour of the file is that dye alone, "navy (its magenta part)" where it came in a
 * mixture, "magenta, also in navy" for both. Returns out. */
const char *thaw_dye_words(const thaw_specification *spec, const thaw_dye_list *dyes, int i, char out[THAW_DYE_NAME]);

#endif
