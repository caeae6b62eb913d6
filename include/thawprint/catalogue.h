/* What the tables know: for `list` and for messages. */
#ifndef THAWPRINT_CATALOGUE_H
#define THAWPRINT_CATALOGUE_H

/* Kinds of table: "cloths", "colours", "ices", "folds", "areas", "shapes", "set-ups". NULL-terminated. */
const char *const *thaw_catalogue_kinds(void);
/* Number of entries of a kind; -1 for an unknown kind. */
int thaw_catalogue_count(const char *kind);
/* Name and one-line remark of entry i; NULL out of range. */
const char *thaw_catalogue_name(const char *kind, int i);
const char *thaw_catalogue_remark(const char *kind, int i);

#endif
