#include "data/garments.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>

enum { T_SHIRT, CAMISOLE, SCARF, TOTE, N_SHAPES };
enum { WIDE, LONG, OTHER };

static const double pi = 3.14159265358979323846;

/* Sizes lie flat: half the way round. Common practice of ready-made clothes, from memory; nothing here is a pattern
 * to sew from. */
static const thaw_garment_shape SHAPES[N_SHAPES] = {
    [T_SHIRT] = {"T-shirt", "front and back with short sleeves cut on: width, length, sleeve (from the side outward)",
                 "from memory: usual sizes; slopes and neck estimate",
                 {{"width", {0.46, 0.51, 0.56}, 0.15, 1.2, "15 cm to 1.2 m"},
                  {"length", {0.66, 0.71, 0.75}, 0.25, 1.5, "25 cm to 1.5 m"},
                  {"sleeve", {0.16, 0.18, 0.20}, 0.02, 0.8, "2 cm to 80 cm"}}},
    [CAMISOLE] = {"camisole", "front and back with straps: width, length (with the straps), strap (its height)",
                  "from memory: usual sizes; straps of 2 cm, armholes and neck estimate",
                  {{"width", {0.38, 0.43, 0.48}, 0.24, 1.2, "24 cm to 1.2 m"},
                   {"length", {0.56, 0.60, 0.64}, 0.30, 1.8, "30 cm to 1.8 m"},
                   {"strap", {0.11, 0.12, 0.13}, 0.04, 0.25, "4 cm to 25 cm"}}},
    [SCARF] = {"scarf", "one panel: width, length",
               "common practice, no source",
               {{"width", {0.30, 0.45, 0.70}, 0.05, 2.0, "5 cm to 2 m"},
                {"length", {1.50, 1.80, 2.00}, 0.20, 4.0, "20 cm to 4 m"},
                {NULL, {0.0}, 0.0, 0.0, NULL}}},
    [TOTE] = {"tote", "front and back of a bag, a handle on each: width, length (of the bag), handle (its height)",
              "common practice, no source; handles of 3 cm estimate",
              {{"width", {0.30, 0.38, 0.45}, 0.20, 1.0, "20 cm to 1 m"},
               {"length", {0.33, 0.42, 0.48}, 0.10, 1.0, "10 cm to 1 m"},
               {"handle", {0.15, 0.30, 0.32}, 0.08, 0.6, "8 cm to 60 cm"}}},
};

static const char *const CUTS[THAW_GARMENT_CUTS] = {"small", "medium", "large"};

/* name, value, unit, source: all estimates, read off clothes in use */
static const double shoulder_fall = 0.27;     /* m down a m out: 15 degrees */
static const double cuff_share = 0.30;        /* of the width: opening of a sleeve */
static const double armhole_share = 0.44;     /* of the width: from the top down to the underarm */
static const double neck_share = 0.18;        /* of the width: half the neck opening */
static const double front_neck_share = 0.18, back_neck_share = 0.05; /* of the width: its depth */
static const double strap_m = 0.02, handle_m = 0.03;
static const double strap_at_share = 0.20;    /* of the width, from the middle to the inner edge of a strap */
static const double strap_armhole_m = 0.06;   /* from the foot of the strap down to the underarm */
static const double camisole_front_m = 0.04, camisole_back_m = 0.01; /* fall of the neckline between the straps */
static const double handle_at_share = 0.25;   /* of the width, from the side to the handle */
#define NECK_CORNERS 7

int thaw_garments_count(void)
{
    return N_SHAPES;
}

const thaw_garment_shape *thaw_garments_at(int i)
{
    return i >= 0 && i < N_SHAPES ? &SHAPES[i] : NULL;
}

const char *thaw_garments_cut(int i)
{
    return i >= 0 && i < THAW_GARMENT_CUTS ? CUTS[i] : NULL;
}

static thaw_garment_panel *add_panel(thaw_garment *g, const char *name, int layer)
{
    thaw_garment_panel *p = &g->panels[g->n_panels++];
    *p = (thaw_garment_panel){.layer = layer};
    snprintf(p->name, sizeof p->name, "%s", name);
    g->n_layers = layer + 1 > g->n_layers ? layer + 1 : g->n_layers;
    return p;
}

static void add_corner(thaw_garment_panel *p, double x_m, double y_m)
{
    p->corners[p->n_corners][0] = x_m;
    p->corners[p->n_corners++][1] = y_m;
}

static void add_seam(thaw_garment *g, int a, int a_from, int a_to, int b, int b_from, int b_to)
{
    g->seams[g->n_seams++] = (thaw_seam){{a, b}, {a_from, b_from}, {a_to, b_to}};
}

/* Round the right half clockwise from the neck, then the left half up, then the neckline. */
static void add_shirt_panel(thaw_garment *g, const char *name, int layer, double neck_deep_m)
{
    const double wide = g->sizes_m[WIDE], high = g->sizes_m[LONG], out = 0.5 * wide + g->sizes_m[OTHER];
    const double middle = out, neck = neck_share * wide, fall = shoulder_fall * (out - neck), cuff = cuff_share * wide;
    const double under = fmax(armhole_share * wide, fall + 0.5 * cuff);
    const double half[5][2] = {{neck, 0.0},
                               {out, fall},
                               {out - shoulder_fall * cuff, fall + cuff},
                               {0.5 * wide, fmax(under, fall + cuff * 0.9)},
                               {0.5 * wide, high}};
    thaw_garment_panel *p = add_panel(g, name, layer);
    for (int i = 0; i < 5; i++) {
        add_corner(p, middle + half[i][0], half[i][1]);
    }
    for (int i = 4; i >= 0; i--) {
        add_corner(p, middle - half[i][0], half[i][1]);
    }
    for (int i = 1; i <= NECK_CORNERS; i++) {
        const double angle = pi * i / (NECK_CORNERS + 1);
        add_corner(p, middle - neck * cos(angle), neck_deep_m * sin(angle));
    }
}

static void cut_shirt(thaw_garment *g)
{
    add_shirt_panel(g, "back", 0, back_neck_share * g->sizes_m[WIDE]);
    add_shirt_panel(g, "front", 1, front_neck_share * g->sizes_m[WIDE]);
    add_seam(g, 0, 0, 1, 1, 0, 1); /* shoulder and top of the sleeve */
    add_seam(g, 0, 2, 4, 1, 2, 4); /* underside of the sleeve and side */
    add_seam(g, 0, 5, 7, 1, 5, 7);
    add_seam(g, 0, 8, 9, 1, 8, 9);
}

static void add_camisole_panel(thaw_garment *g, const char *name, int layer, double neck_fall_m)
{
    const double wide = g->sizes_m[WIDE], strap = g->sizes_m[OTHER], middle = 0.5 * wide, at = strap_at_share * wide;
    thaw_garment_panel *p = add_panel(g, name, layer);
    const double half[5][2] = {{at, 0.0}, {at + strap_m, 0.0}, {at + strap_m, strap}, {middle, strap + strap_armhole_m},
                               {middle, g->sizes_m[LONG]}};
    for (int i = 0; i < 5; i++) {
        add_corner(p, middle + half[i][0], half[i][1]);
    }
    for (int i = 4; i >= 0; i--) {
        add_corner(p, middle - half[i][0], half[i][1]);
    }
    add_corner(p, middle - at, strap);
    add_corner(p, middle, strap + neck_fall_m);
    add_corner(p, middle + at, strap);
}

static void cut_camisole(thaw_garment *g)
{
    add_camisole_panel(g, "back", 0, camisole_back_m);
    add_camisole_panel(g, "front", 1, camisole_front_m);
    add_seam(g, 0, 0, 1, 1, 0, 1); /* tops of the straps */
    add_seam(g, 0, 3, 4, 1, 3, 4); /* sides */
    add_seam(g, 0, 5, 6, 1, 5, 6);
    add_seam(g, 0, 8, 9, 1, 8, 9);
}

static void cut_scarf(thaw_garment *g)
{
    thaw_garment_panel *p = add_panel(g, "scarf", 0);
    add_corner(p, 0.0, 0.0);
    add_corner(p, g->sizes_m[WIDE], 0.0);
    add_corner(p, g->sizes_m[WIDE], g->sizes_m[LONG]);
    add_corner(p, 0.0, g->sizes_m[LONG]);
}

/* The bag with corners where the handle is sewn on, and the handle. */
static void add_bag_side(thaw_garment *g, const char *name, const char *handle, int layer)
{
    const double wide = g->sizes_m[WIDE], h = g->sizes_m[OTHER], low = h + g->sizes_m[LONG], a = handle_at_share * wide;
    const int bag = g->n_panels, arch = bag + 1;
    thaw_garment_panel *p = add_panel(g, name, layer);
    const double top[6] = {0.0, a, a + handle_m, wide - a - handle_m, wide - a, wide};
    for (int i = 0; i < 6; i++) {
        add_corner(p, top[i], h);
    }
    add_corner(p, wide, low);
    add_corner(p, 0.0, low);
    p = add_panel(g, handle, layer);
    const double round[8][2] = {{a, h}, {a, 0.0}, {wide - a, 0.0}, {wide - a, h}, {wide - a - handle_m, h},
                                {wide - a - handle_m, handle_m}, {a + handle_m, handle_m}, {a + handle_m, h}};
    for (int i = 0; i < 8; i++) {
        add_corner(p, round[i][0], round[i][1]);
    }
    add_seam(g, arch, 7, 0, bag, 1, 2);
    add_seam(g, arch, 3, 4, bag, 3, 4);
}

static void cut_tote(thaw_garment *g)
{
    add_bag_side(g, "back", "back handle", 0);
    add_bag_side(g, "front", "front handle", 1);
    add_seam(g, 0, 5, 0, 2, 5, 0); /* down one side, along the bottom, up the other */
}

static void measure_box(thaw_garment *g)
{
    g->width_m = g->length_m = 0.0;
    for (int p = 0; p < g->n_panels; p++) {
        for (int i = 0; i < g->panels[p].n_corners; i++) {
            g->width_m = fmax(g->width_m, g->panels[p].corners[i][0]);
            g->length_m = fmax(g->length_m, g->panels[p].corners[i][1]);
        }
    }
}

/* Half a turn on the table. */
static void turn_round(thaw_garment *g)
{
    for (int p = 0; p < g->n_panels; p++) {
        for (int i = 0; i < g->panels[p].n_corners; i++) {
            double *c = g->panels[p].corners[i];
            c[0] = g->width_m - c[0];
            c[1] = g->length_m - c[1];
        }
    }
}

void thaw_garments_cut_out(int shape, thaw_garment *garment)
{
    static void (*const cutters[N_SHAPES])(thaw_garment *) = {
        [T_SHIRT] = cut_shirt, [CAMISOLE] = cut_camisole, [SCARF] = cut_scarf, [TOTE] = cut_tote};
    garment->shape = shape;
    garment->n_panels = garment->n_layers = garment->n_seams = 0;
    cutters[shape](garment);
    measure_box(garment);
    if (garment->bottom_first) {
        turn_round(garment);
    }
}
