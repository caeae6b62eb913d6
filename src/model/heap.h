/* The ice as laid on: pieces and the dye powder on them, and powder that fell on the cloth. */
#ifndef THAW_MODEL_HEAP_H
#define THAW_MODEL_HEAP_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "model/specification.h"

/* Directions from the middle of a piece in which powder on it is kept apart. */
#define THAW_HEAP_SIDES 8

/* One entry is one piece, or for fine ice `count` equal pieces lying together. Entries are stored
 * from the highest to the lowest, so that what is above has the smaller index. */
typedef struct thaw_heap {
    int n;
    double *x_m, *y_m;             /* own, n: place on the tray, from above */
    double *mass_kg;               /* own, n: of the entry, at the start */
    double *count;                 /* own, n: pieces in the entry */
    double *start_k;               /* own, n */
    double *area_factor;           /* own, n: surface / surface of the equal sphere */
    double packing;                /* share of the heap that is ice, mean by mass */
    double mass_total_kg;
    int n_components;
    /* own, n * THAW_HEAP_SIDES each: dry dye on the entry; side d holds 22.5 degrees to either side of
     * the direction d * 45 degrees from its middle. */
    double *powder_kg[THAW_MAX_POWDERS];
    double *fallen_kg_m2[THAW_MAX_POWDERS]; /* own, one per cloth cell: dry dye on the cloth */
    double *lump_kg_m2[THAW_MAX_POWDERS]; /* own, the same for what fell there as lumps; NULL where no dye has any */
    double powder_lost_kg[THAW_MAX_POWDERS]; /* fell beside the bundle */
    bool has_soda;                 /* powder number n_components is soda ash */
    /* Dye squirted on as liquid, with its water; NULL where there is none. On ice as the powder, else by cell. */
    double *poured_kg, *wetted_kg; /* own: water */
    double *poured_dye_kg[THAW_MAX_POWDERS], *wetted_dye_kg[THAW_MAX_POWDERS]; /* own */
    double poured_lost_kg;         /* water that went beside the bundle; its dye is in powder_lost_kg */
    double *at_s;                  /* own, n: when the entry is laid on; NULL: all at the start */
} thaw_heap;

#endif
