/* Cloths, dyes and colours of one's own, read from files; and a card of swatches. */
#ifndef THAWPRINT_SHELF_H
#define THAWPRINT_SHELF_H

#include <stddef.h>

#include "thawprint/status.h"

typedef struct thaw_shelf thaw_shelf;

thaw_status thaw_shelf_create(thaw_shelf **out, thaw_error *err);
void thaw_shelf_destroy(thaw_shelf *shelf);
/* Adds what a file has under `own-cloths`, `own-dyes` and `own-colours`; an entry takes the place of one of the same
 * name from an earlier file. On failure err->text holds every fault of the file, as for a scenario. */
thaw_status thaw_shelf_add_file(thaw_shelf *shelf, const char *path, thaw_error *err);

/* As the thaw_catalogue functions, of kinds "cloths", "dyes" and "colours"; a dye is a colour too. 0 for other kinds. */
int thaw_shelf_count(const thaw_shelf *shelf, const char *kind);
const char *thaw_shelf_name(const thaw_shelf *shelf, const char *kind, int i);
const char *thaw_shelf_remark(const thaw_shelf *shelf, const char *kind, int i);
size_t thaw_shelf_detail(const thaw_shelf *shelf, const char *kind, int i, char *out, size_t size);

/* Writes a card with all colours, those of the shelf too, at 0.5, 1, 2 and 4 % on weight of goods as a PNG. `cloth`: name
 * of a cloth, NULL for cotton twill. */
thaw_status thaw_swatches_write(const char *path, const char *cloth, const thaw_shelf *own, thaw_error *err);

#endif
