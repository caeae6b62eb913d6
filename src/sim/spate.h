/* Cells in spate: the few through which so much water runs, under a drip, that carrying all cells at their step
 * would cost many times more. Their edges are left out of the common step and carried in shorter steps, by first-order
 * upwind, all edges of a step at once. What an edge moves leaves the one cell and enters the other, and a cell's
 * concentration is never so high that more leaves than is there, so books and signs are kept. The water of each cell is
 * followed along, so that an even concentration stays even. The cells that such edges join are copied into places of
 * their own side by side. Serial, in the order of the cells: the bits do not depend on threads. */
#ifndef THAW_SIM_SPATE_H
#define THAW_SIM_SPATE_H

#include "sim/carry.h"

/* One edge between two places; water of the whole step flows from the first to the second. */
typedef struct thaw_spate_edge {
    int32_t from, to;
    float water, spread;
} thaw_spate_edge;

struct thaw_spate {
    size_t n_cells;
    int32_t n, n_places;           /* cells in spate; with those that their edges lead to, and the tub */
    int32_t *place;                /* own, n cells: 1 + place of the cell, or 0; those in spate come first, in order */
    int32_t *row_first;            /* own, rows + 1: first cell in spate of each row */
    int32_t *link, *link_first;    /* own, n, rows + 1: cells that rest on one in spate, by rows, and the first of each row */
    int32_t n_edges;
    thaw_spate_edge *edge;         /* own: edges of cells in spate, each once; the ends are places */
    /* Own, by place; the last is the tub, which gives nothing. */
    int32_t *cell;
    double *amount;                /* solute */
    float *held, *least;           /* capacity as the part goes on, and what it does not fall below */
    float *gain, *loss;            /* water through edges in spate over the whole step; what may leave through them, with exchange */
    float *other;                  /* water through the other edges */
    float *c;                      /* concentration */
    int steps;                     /* parts of a part */
};

thaw_status thaw_spate_create(size_t n, int rows, thaw_spate *out, thaw_error *err);
void thaw_spate_destroy(thaw_spate *spate);
/* Choose how many parts all cells take, and which cells are in spate then, for the least work. ratio is
 * each cell's Courant number over the whole step, `worst` the largest, `limit` what a part allows, net the water that
 * all its edges bring a cell. Returns parts. */
int thaw_spate_choose(thaw_spate *spate, const thaw_web *web, const thaw_carry_edges *edges, const float *ratio,
                      const float *net, double worst, double limit);
/* Take the edges of cells in spate out of the flows of row j in the common step. */
void thaw_spate_take_out(const thaw_spate *spate, const thaw_web *web, size_t j, float *gx, float *gy, float *gl);
/* Carry along those edges; returns what leaves the lowest layer. */
double thaw_spate_carry(thaw_spate *spate, float share, const float *inverse, double *mobile);

#endif
