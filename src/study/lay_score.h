/* How well a place on the cloth meets the wishes for a piece; definitions in docs/pieces.md. Colours are L*a*b*; bare is
 * undyed cloth. Each outcome (chance) of the cloth is scored on its own. */
#ifndef THAW_STUDY_LAY_SCORE_H
#define THAW_STUDY_LAY_SCORE_H

#include <stdint.h>

#include "model/image.h"
#include "model/pattern.h"

#define THAW_VIEWS_MOST 24         /* outcomes */
/* Colour differences (CIE 1976) that count as full; all choices, no source. */
#define THAW_FULL_AMOUNT 40.0      /* from bare cloth: wholly coloured */
#define THAW_FULL_UNEVEN 30.0      /* root mean square from the piece's own mean: not even at all */
#define THAW_FULL_MISS   60.0      /* from the wished colour: nothing of it */
#define THAW_FULL_APART  40.0      /* between left and right: not alike at all */
#define THAW_BANDS   12            /* across the piece, from the hem upward */
#define THAW_PATCH_ROWS 4
#define THAW_PATCHES (2 * THAW_PATCH_ROWS)

/* The cloth of every outcome, a cell at a time. */
typedef struct thaw_views {
    int n, nx, ny;
    double cell_m;
    double bare[3];
    float *cells;                  /* own: n * ny * nx of L*, a*, b* and amount, 0 bare .. 1 wholly coloured */
} thaw_views;

/* Pictures of the dry cloth, one pixel a cell, all of one size. */
thaw_status thaw_views_create(const thaw_image *pictures, int n, const double bare[3], thaw_views *out, thaw_error *err);
void thaw_views_release(thaw_views *views);

/* Where a piece is looked at: places on it in its own frame, unturned. */
typedef struct thaw_probes {
    int n;
    float (*at)[2];                /* own, m */
    uint8_t *band, *patch;         /* own: band 0 is the hem; patch 2 * row + (0 left, 1 right) as drawn */
    double width_m, length_m;      /* of the box */
} thaw_probes;

/* About `wanted` places, evenly over the piece. */
thaw_status thaw_probes_create(const thaw_pattern_piece *piece, int wanted, thaw_probes *out, thaw_error *err);
void thaw_probes_release(thaw_probes *probes);

typedef struct thaw_patches {
    float lab[THAW_PATCHES][3];
    float weight[THAW_PATCHES];    /* share of the piece; 0: nothing of it lies there */
} thaw_patches;

/* Score 0 .. 100 of every wish but a match for outcome m, where the piece lies at (x, y) m, flipped; and its patches
 * (may be NULL). */
void thaw_score_piece(const thaw_views *views, int m, const thaw_pattern_piece *piece, const thaw_probes *probes, double x, double y,
                      bool flip_x, bool flip_y, double score[THAW_MAX_WISHES], thaw_patches *patches);
/* How alike two are, 0 .. 100; and the two halves of one. */
double thaw_score_pair(const thaw_patches *a, const thaw_patches *b);
double thaw_score_halves(const thaw_patches *patches);

#endif
