/* A running stitch goes over and under; drawn up, two stitches make one pleat. The pleats lie over like knife
 * pleats, run across all rows, and wander a little, as rows sewn by hand do not begin at the same place. The
 * thread presses what it goes through. */
#include "setup/gather.h"

#include <math.h>
#include <stdbool.h>

#include "base/random.h"
#include "setup/pleat.h"
#include "setup/spline.h"
#include "setup/tie.h"

/* name, value, unit, source */
static const double wander_share = 0.3;       /* rms wandering / stitch; estimate */
static const double wander_lattice_m = 0.04;  /* m, it changes over about a row's distance; estimate */

static double wander(const thaw_hands *hands, double t_m)
{
    double noise = thaw_spline_noise(hands->seed, THAW_STREAM_FOLD, hands->first, t_m / wander_lattice_m);
    return wander_share * hands->fold->stitch_m * fmax(-2.5, fmin(2.5, noise));
}

static void bind_rows(const thaw_fold *fold, double t_m, double breadth_m, thaw_bundle *b, size_t k)
{
    for (int i = 1; i <= fold->number; i++) {
        double row_m = breadth_m * (i - 0.5) / fold->number;
        double low = fmax(t_m - 0.5 * b->cell_m, row_m - 0.5 * fold->band_m);
        double high = fmin(t_m + 0.5 * b->cell_m, row_m + 0.5 * fold->band_m);
        thaw_tie_press(b, k, fold->tightness * fmax(0.0, high - low) / b->cell_m);
    }
}

void thaw_gather_cells(const thaw_hands *hands, thaw_bundle *bundle)
{
    thaw_bundle *b = bundle;
    const thaw_fold *fold = hands->fold;
    const bool across = fold->along == THAW_ALONG_WIDTH;
    thaw_plan_box box = thaw_plan_box_of(b);
    double *place = across ? b->x_m : b->y_m, *other = across ? b->y_m : b->x_m;
    double from = across ? box.x0 : box.y0, beside = across ? box.y0 : box.x0;
    double breadth = across ? box.y1 - box.y0 : box.x1 - box.x0;
    double cloth_m = 2.0 * fold->stitch_m, plan_m = fold->share * cloth_m, low = b->z_m[0], high = low;
    for (size_t k = 1; k < b->n; k++) {
        low = fmin(low, b->z_m[k]);
        high = fmax(high, b->z_m[k]);
    }
    for (size_t k = 0; k < b->n; k++) {
        double t = other[k] - beside, off = wander(hands, t), c = place[k] - from + off;
        double i = floor(c / cloth_m);
        thaw_pleat pleat = thaw_pleat_of(c - i * cloth_m, cloth_m, plan_m);
        double height = b->z_m[k] - low;
        place[k] = from + i * plan_m + pleat.along - off * fold->share;
        b->z_m[k] = pleat.layers * (hands->gap_m + high - low) + (pleat.back ? high - low - height : height);
        bind_rows(fold, t, breadth, b, k);
    }
}
