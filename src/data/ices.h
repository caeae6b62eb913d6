/* The kinds of ice that are known. */
#ifndef THAW_DATA_ICES_H
#define THAW_DATA_ICES_H

#include "model/materials.h"

int thaw_ices_count(void);
/* Row i; NULL out of range. */
const thaw_ice_kind *thaw_ices_at(int i);
/* By name, case ignored; NULL if unknown. */
const thaw_ice_kind *thaw_ices_find(const char *name);

#endif
