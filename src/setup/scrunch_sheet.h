/* A sheet of nodes joined by lengths that hold: the stand-in for the cloth while it is crumpled.
 * Node k = j * nx + i belongs to place (i * hx, j * hy) of the flat sheet. */
#ifndef THAW_SETUP_SCRUNCH_SHEET_H
#define THAW_SETUP_SCRUNCH_SHEET_H

#include <stddef.h>
#include <stdint.h>

#include "thawprint/status.h"

typedef struct thaw_sheet {
    int nx, ny;
    double hx_m, hy_m;
    double radius_m;               /* nodes of other parts of the sheet keep this distance */
    double *p;                     /* own, 3 a node: x, y, z in m */
    double *last;                  /* own, 3 a node: place one step before */
    double *push;                  /* own, 3 a node: displacement that hands give, a step */
    double *spare;                 /* own, 3 a node: for refining */
    int32_t *bin, *bin_start, *bin_nodes; /* own: nodes sorted by place, for repulsion */
    unsigned char *shadow;         /* own: plan raster for the area */
    size_t n_max;
    int bins_max;
} thaw_sheet;

/* A flat sheet of width by length with nx by ny nodes, with room to be refined three times.
 * On failure *out is untouched. */
thaw_status thaw_sheet_create(double width_m, double length_m, int nx, int ny, thaw_sheet *out, thaw_error *err);
void thaw_sheet_destroy(thaw_sheet *sheet);
/* Halve the spacing; the shape stays, and the sheet comes to rest. */
void thaw_sheet_refine(thaw_sheet *sheet);
/* Area that the sheet covers as seen from above. */
double thaw_sheet_plan_area(const thaw_sheet *sheet);
/* Place and unit normal at u, v in node steps. */
void thaw_sheet_at(const thaw_sheet *sheet, double u, double v, double place[3], double normal[3]);

/* One step of the dynamics. Lengths in m, steps have no time: the sheet is led, not timed. */
typedef struct thaw_sheet_step {
    double keep;                   /* share of the motion that goes on */
    double gravity_m;              /* fall in a step */
    double plate_m;                /* height of the hand that presses from above */
    double drag_m[2];              /* sideways motion of that hand in a step */
    double bending;                /* stiffness 0 .. 1 */
    double grip;                   /* share of the sliding against the hands that they hold back */
    int sweeps;                    /* passes over the lengths */
} thaw_sheet_step;
void thaw_sheet_advance(thaw_sheet *sheet, const thaw_sheet_step *step);

#endif
