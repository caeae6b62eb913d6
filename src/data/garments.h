/* Garments of simple shape: their sizes, and the outlines and seams that follow from them. */
#ifndef THAW_DATA_GARMENTS_H
#define THAW_DATA_GARMENTS_H

#include "model/garment.h"

#define THAW_GARMENT_CUTS 3 /* small, medium, large */

typedef struct thaw_garment_size {
    const char *key;               /* "width"; NULL behind the last */
    double cuts_m[THAW_GARMENT_CUTS];
    double lowest_m, highest_m;
    const char *allowed;           /* "20 cm to 1.2 m" */
} thaw_garment_size;

typedef struct thaw_garment_shape {
    const char *name, *remark, *source;
    thaw_garment_size sizes[THAW_GARMENT_SIZES];
} thaw_garment_shape;

int thaw_garments_count(void);
/* Row i; NULL out of range. */
const thaw_garment_shape *thaw_garments_at(int i);
const char *thaw_garments_cut(int i); /* "small" */

/* Panels, seams and box of row `shape` from garment->sizes_m and bottom_first, which are set. */
void thaw_garments_cut_out(int shape, thaw_garment *garment);

#endif
