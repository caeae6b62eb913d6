/* Pieces where they lie on the cloth, for those who draw and write them. Owns nothing. */
#ifndef THAW_MODEL_CUT_OUT_H
#define THAW_MODEL_CUT_OUT_H

#include <stdbool.h>

#include "base/polygon.h"
#include "model/image.h"

typedef struct thaw_cut_out {
    const char *name;              /* "sleeve", or "sleeve 2" of several */
    const char *remark;            /* "mirrored", "turned", ...; "" for none */
    const char *wishes;            /* with scores, for people; "" for none */
    bool is_turned;                /* lies head to foot */
    double down[2];                /* unit vector on the cloth, were it not turned: downward as drawn */
    thaw_polygon outline, seam;    /* on the cloth, m; seam without corners: none */
} thaw_cut_out;

typedef struct thaw_lay_sheet {
    const char *title, *note;
    const thaw_image *cloth;       /* of the whole cloth */
    double width_m, length_m;      /* of the cloth */
    int n;
    const thaw_cut_out *pieces;
} thaw_lay_sheet;

#endif
