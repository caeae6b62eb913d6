/* Comparing words as people type them. */
#ifndef THAW_BASE_WORDS_H
#define THAW_BASE_WORDS_H

#include <stdbool.h>

#include "thawprint/words.h"

/* Equal but for the case of ASCII letters. */
bool thaw_words_same(const char *a, const char *b);
/* Steps (insert, drop, change, swap two neighbours) from one word to the other; words longer than
 * 63 bytes are cut there. Case is ignored. */
int thaw_words_distance(const char *a, const char *b);

#endif
