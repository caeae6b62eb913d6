/* The fibres that are known, those that take no fibre-reactive dye included. */
#ifndef THAW_DATA_FIBRES_H
#define THAW_DATA_FIBRES_H

#include "model/materials.h"

int thaw_fibres_count(void);
/* Row i; NULL out of range. */
const thaw_fibre *thaw_fibres_at(int i);
/* By name or other name ("rayon", "flax"), case ignored; NULL if unknown. */
const thaw_fibre *thaw_fibres_find(const char *name);
/* The first fibre that takes no dye and is named as a word in `text`; NULL if there is none. */
const thaw_fibre *thaw_fibres_idle_in(const char *text);

#endif
