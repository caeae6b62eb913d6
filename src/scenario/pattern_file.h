/* Sewing patterns: YAML of one's own, or the closed shapes of an SVG drawing. */
#ifndef THAW_SCENARIO_PATTERN_FILE_H
#define THAW_SCENARIO_PATTERN_FILE_H

#include "model/pattern.h"
#include "scenario/reader.h"
#include "scenario/svg.h"

#define THAW_LARGEST_DRAWING ((size_t)16 << 20)

/* `path` is for messages, and a drawing that a YAML file names lies beside it. The sheet is large: the caller allocates it,
 * zeroed, and releases it in any case. With faults THAW_ERR_SCENARIO and all of them in `err`. */
thaw_status thaw_pattern_parse(const char *text, size_t n, const char *path, thaw_pattern_sheet *out, thaw_error *err);
void thaw_pattern_release(thaw_pattern_sheet *sheet);

/* Adds the wish `text` to the piece, in place of what it wished before; false with a reason. */
bool thaw_pattern_wish(thaw_pattern_sheet *sheet, const char *name, const char *text, char *why, size_t why_size);

/* The kinds of wish, for lists: its word and what it means. */
int thaw_wishes_count(void);
const char *thaw_wishes_word(int i);
const char *thaw_wishes_remark(int i);
bool thaw_wish_read(const char *text, thaw_wish *out);
/* All words that thaw_wish_read takes but "#rrggbb"; at most `most`. Returns how many. */
int thaw_wish_words(const char **words, int most);

#endif
