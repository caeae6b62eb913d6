/* The word a person probably meant: for messages of the library and of programs built on it. */
#ifndef THAWPRINT_WORDS_H
#define THAWPRINT_WORDS_H

/* The entry of known[0..n-1] nearest to `word` by edit distance (case ignored), or one that holds
 * it; NULL when none is near. The pointer is the entry itself. */
const char *thaw_words_nearest(const char *word, const char *const *known, int n);

#endif
