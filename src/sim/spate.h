/* Cells in spate: the few through which so much water runs, under a drip, that carrying all cells at their step
 * would cost many times more. Their edges are left out of the common step and carried in shorter parts of it,
 * one edge after the other, by first-order upwind: what an edge moves leaves the one cell and enters the other,
 * never more than is there, so books and signs are kept. The water of each cell is followed along, so that an even
 * concentration stays even. Serial, in the order of the cells: the bits do not depend on threads. */
#ifndef THAW_SIM_SPATE_H
#define THAW_SIM_SPATE_H

#include "sim/carry.h"

/* One edge: its two cells, the water and exchange of the whole step; b < 0 is the tub. */
typedef struct thaw_spate_edge {
    int32_t a, b;
    float water, spread;
} thaw_spate_edge;

struct thaw_spate {
    int32_t n;                     /* cells in spate */
    int32_t *cell;                 /* own, room for all */
    unsigned char *is;             /* own, n cells: 1 in spate */
    int32_t n_edges;
    thaw_spate_edge *edge;         /* own: edges of cells in spate, each once */
    float *net;                    /* own, n cells: water in the step through edges that are not in spate; set where needed */
    float *water;                  /* own, n cells: capacity as the part goes on; set where needed */
    int steps;                     /* parts of a part */
};

thaw_status thaw_spate_create(size_t n, thaw_spate *out, thaw_error *err);
void thaw_spate_destroy(thaw_spate *spate);
/* Choose how many parts all cells take, and which cells are in spate then, for the least work. ratio is
 * each cell's Courant number over the whole step, `worst` the largest, `limit` what a part allows. Returns parts. */
int thaw_spate_choose(thaw_spate *spate, const thaw_web *web, const thaw_carry_edges *edges, const float *ratio,
                      double worst, double limit);
/* Take the edges of cells in spate out of the flows of the common step. */
void thaw_spate_take_out(const thaw_spate *spate, const thaw_web *web, float *gx, float *gy, float *gl);
/* Carry along those edges; returns what leaves the lowest layer. */
double thaw_spate_carry(thaw_spate *spate, float share, const float *inverse, double *mobile);

#endif
