/* What the tables know: for `list` and for messages. */
#ifndef THAWPRINT_CATALOGUE_H
#define THAWPRINT_CATALOGUE_H

#include <stddef.h>

/* Kinds of table: "cloths", "fibres", "colours", "dyes", "ices", "folds", "areas", "shapes", "set-ups". NULL-terminated. */
const char *const *thaw_catalogue_kinds(void);
/* Number of entries of a kind; -1 for an unknown kind. */
int thaw_catalogue_count(const char *kind);
/* Name and one-line remark of entry i; NULL out of range. */
const char *thaw_catalogue_name(const char *kind, int i);
const char *thaw_catalogue_remark(const char *kind, int i);
/* Figures of entry i with unit and source, as indented lines; and what the figures of the kind mean. Written as
 * snprintf does: the length that the whole has is returned, 0 for kinds without figures. */
size_t thaw_catalogue_detail(const char *kind, int i, char *out, size_t size);
size_t thaw_catalogue_legend(const char *kind, char *out, size_t size);

#endif
