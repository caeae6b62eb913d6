/* Pressed cloth: its pores shrink, and what flows falls much faster than what is held. With e = pores / fibre
 * by volume, Kozeny and Carman (1937) have the permeability go with e^3 / (1 + e), and the thickness goes with
 * 1 + e: flow along the cloth with e^3, flow through it with e^3 / (1 + e)^2. Nothing is painted: pale marks come from the water and dye that do not get in. */
#include "setup/tie.h"

#include <math.h>
#include <stdbool.h>

#include "setup/creases.h"

/* name, value, unit, source */
static const double loose_void_ratio = 1.9;   /* pores / fibre of damp cloth that lies free: porosity 0.65, estimate */
static const double most_pressed = 0.85;      /* of the pores, pressed out by the tightest tie; estimate */
static const double share_pressed = 0.3;      /* contact share of pressed cloth; look notes */
static const double sheds_from = 0.25;        /* tightness from which a band keeps falling water out; estimate */
static const double sheds_within_m = 0.03;    /* m, farther no drop runs on a band; estimate */

double thaw_tie_volume_left(double tightness)
{
    return 1.0 - most_pressed * tightness;
}

double thaw_tie_flow_left(double tightness)
{
    double left = thaw_tie_volume_left(tightness);
    return left * left * left;
}

/* From layer to layer: presses the layers together, but lets less through each. */
static double through_left(double tightness)
{
    double thinner = (1.0 + loose_void_ratio) / (1.0 + loose_void_ratio * thaw_tie_volume_left(tightness));
    return thaw_tie_flow_left(tightness) * thinner * thinner;
}

void thaw_tie_press(thaw_bundle *bundle, size_t k, double tightness)
{
    if (bundle->tie[k] < (float)tightness)
        bundle->tie[k] = (float)tightness;
}

/* Share of a cell, centre at place_m, that lies under the band. */
static double covered(double place_m, double middle_m, double band_m, double cell_m)
{
    double low = fmax(place_m - 0.5 * cell_m, middle_m - 0.5 * band_m);
    double high = fmin(place_m + 0.5 * cell_m, middle_m + 0.5 * band_m);
    return fmax(0.0, high - low) / cell_m;
}

void thaw_tie_bind(const thaw_fold *fold, thaw_bundle *bundle)
{
    const thaw_bundle *b = bundle;
    const bool across = fold->along == THAW_ALONG_WIDTH;
    const double *place_m = across ? b->x_m : b->y_m;
    thaw_plan_box box = thaw_plan_box_of(b);
    double from_m = across ? box.x0 : box.y0, way_m = across ? box.x1 - box.x0 : box.y1 - box.y0;
    for (int i = 1; i <= fold->number; i++) {
        double share = fold->number == 1 && fold->at > 0.0 ? fold->at : i / (fold->number + 1.0);
        for (size_t k = 0; k < b->n; k++)
            thaw_tie_press(bundle, k,
                           fold->tightness * covered(place_m[k], from_m + share * way_m, fold->band_m, b->cell_m));
    }
}

/* The nearest cell that lies open to the sky and free of bands, or -1. */
static int32_t free_top(const thaw_bundle *b, int si, int sj)
{
    const int reach = (int)(sheds_within_m / b->tray_m) + 1;
    double nearest = sheds_within_m / b->tray_m;
    int32_t best = -1;
    for (int dj = -reach; dj <= reach; dj++)
        for (int di = -reach; di <= reach; di++) {
            int i = si + di, j = sj + dj;
            if (i < 0 || j < 0 || i >= b->tray_nx || j >= b->tray_ny)
                continue;
            int32_t q = b->top[j * b->tray_nx + i];
            double away = hypot(di, dj);
            bool own = q >= 0 && b->tray[q] == j * b->tray_nx + i; /* not itself shed from elsewhere */
            if (own && (double)b->tie[q] < sheds_from && away < nearest) {
                nearest = away;
                best = q;
            }
        }
    return best;
}

static void shed(thaw_bundle *b)
{
    for (int j = 0; j < b->tray_ny; j++)
        for (int i = 0; i < b->tray_nx; i++) {
            int32_t *top = &b->top[j * b->tray_nx + i];
            if (*top < 0 || (double)b->tie[*top] < sheds_from)
                continue;
            int32_t q = free_top(b, i, j);
            *top = q >= 0 ? q : *top;
        }
}

void thaw_tie_close(thaw_bundle *bundle)
{
    thaw_bundle *b = bundle;
    if (!b->tie)
        return;
    for (size_t k = 0; k < b->n; k++) {
        if (b->below[k] < 0)
            continue;
        double tightness = fmax((double)b->tie[k], (double)b->tie[b->below[k]]);
        double pressed = (double)b->contact[k] + tightness * fmax(0.0, share_pressed - (double)b->contact[k]);
        b->contact[k] = fminf((float)(pressed * through_left(tightness)), 0.3f);
    }
    shed(b);
}

void thaw_tie_thin(const thaw_bundle *bundle, double *conductivity, double *volume)
{
    for (size_t k = 0; bundle->tie && k < bundle->n; k++) {
        conductivity[k] *= thaw_tie_flow_left((double)bundle->tie[k]);
        volume[k] *= thaw_tie_volume_left((double)bundle->tie[k]);
    }
}
