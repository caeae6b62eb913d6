/* The word a person probably meant: for messages of the library and of programs built on it. */
#ifndef THAWPRINT_WORDS_H
#define THAWPRINT_WORDS_H

/* The entry of known[0..n-1] nearest to `word` by edit distance (case ignored), or one that holds
 * it; NULL when none is near. The pointer is the entry itself. */
const char *thaw_words_nearest(const char *word, const char *const *known, int n);

/* Bytes of the sign with which UTF-8 `text` begins, if it steers a terminal or a page instead of showing something: control
 * characters (line breaks and tabs too), separators of lines and paragraphs, overrides of the direction of writing.
 * Else 0. */
int thaw_words_control(const char *text);

#endif
