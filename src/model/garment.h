/* A garment as it lies flat before it is folded: panels of cloth with an outline each, in layers one upon the
 * other, joined along seams. Places in m from the top left corner of the garment as seen from above, x to the
 * right, y down. Panels of one layer do not overlap; both sides of a seam lie on the same line. */
#ifndef THAW_MODEL_GARMENT_H
#define THAW_MODEL_GARMENT_H

#include <math.h>
#include <stdbool.h>

#define THAW_MAX_PANELS  8
#define THAW_MAX_LAYERS  8
#define THAW_MAX_SEAMS   24
#define THAW_MAX_OUTLINE 40
#define THAW_PANEL_NAME  24
#define THAW_GARMENT_SIZES 3

typedef struct thaw_garment_panel {
    char name[THAW_PANEL_NAME];
    int layer;                     /* 0 lies lowest */
    int n_corners;
    double corners[THAW_MAX_OUTLINE][2];
} thaw_garment_panel;

/* Runs along the outlines of two panels from corner to corner, the way each outline is drawn; past the last corner
 * comes the first. */
typedef struct thaw_seam {
    int panel[2], from[2], to[2];
} thaw_seam;

typedef struct thaw_garment {
    int n_panels;                  /* 0: a plain piece of cloth */
    int n_layers, n_seams;
    thaw_garment_panel panels[THAW_MAX_PANELS];
    thaw_seam seams[THAW_MAX_SEAMS];
    double width_m, length_m;      /* box of all outlines */
    int shape;                     /* row of data/garments.c, or -1 where the outlines are one's own */
    double sizes_m[THAW_GARMENT_SIZES]; /* of a named shape */
    bool bottom_first;             /* a named shape was turned round: its bottom edge lies at the top of the cloth */
} thaw_garment;

static inline double thaw_garment_panel_area_m2(const thaw_garment_panel *p)
{
    double twice = 0.0;
    for (int i = 0; i < p->n_corners; i++) {
        const double *a = p->corners[i], *b = p->corners[(i + 1) % p->n_corners];
        twice += a[0] * b[1] - b[0] * a[1];
    }
    return 0.5 * fabs(twice);
}

/* Even-odd, and half open: a place on the edge between two panels belongs to one of them. */
static inline bool thaw_garment_panel_holds(const thaw_garment_panel *p, double x_m, double y_m)
{
    bool inside = false;
    for (int i = 0; i < p->n_corners; i++) {
        const double *a = p->corners[i], *b = p->corners[(i + 1) % p->n_corners];
        if ((a[1] > y_m) != (b[1] > y_m) && x_m < a[0] + (y_m - a[1]) * (b[0] - a[0]) / (b[1] - a[1])) {
            inside = !inside;
        }
    }
    return inside;
}

/* Corners on one side of a seam, both ends counted. */
static inline int thaw_seam_corners(const thaw_garment *g, const thaw_seam *seam, int side)
{
    const int n = g->panels[seam->panel[side]].n_corners;
    return (seam->to[side] - seam->from[side] + n) % n + 1;
}
/* i-th of them. */
static inline const double *thaw_seam_corner(const thaw_garment *g, const thaw_seam *seam, int side, int i)
{
    const thaw_garment_panel *p = &g->panels[seam->panel[side]];
    return p->corners[(seam->from[side] + i) % p->n_corners];
}

#endif
