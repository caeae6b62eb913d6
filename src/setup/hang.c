#include "setup/hang.h"

#include <math.h>

#include "setup/tie.h"

/* name, value, unit, source */
static const double gap_m = 0.2;              /* m, in the plan; half the largest piece of ice is 0.15 m */
static const double band_m = 0.02;            /* m, of the cloth under a tie: cord wound a few times, estimate */
static const double tie_tightness = 0.9;      /* as `tight` of the fold, estimate */
static const double settle_m = 0.15;          /* m along the cloth, from the heap to the straight path; estimate */

int thaw_hang_first_row(const thaw_specification *spec, int ny)
{
    int row = (int)lround(spec->hang.from_m / spec->cell_m);
    if (!spec->hang.is_set)
        return ny;
    return row < 1 ? 1 : row < ny ? row : ny - 1;
}

double thaw_hang_height_m(const thaw_specification *spec, double along_m)
{
    const thaw_hang *h = &spec->hang;
    double left_m = spec->length_m - h->from_m - along_m; /* to the free end */
    return fmin(fmin(along_m, h->up_m), h->up_m - h->down_m + left_m);
}

/* The tie draws the sheet together; that it becomes a rope is not followed, only that its pores are pressed. */
static void tie_rows(const thaw_specification *spec, int first_row, thaw_bundle *bundle)
{
    const double low_m = spec->hang.tie_m - 0.5 * band_m, high_m = spec->hang.tie_m + 0.5 * band_m;
    for (int j = first_row; j < bundle->ny; j++) {
        const double from_m = fmax(low_m, j * bundle->cell_m), to_m = fmin(high_m, (j + 1) * bundle->cell_m);
        for (int i = 0; to_m > from_m && i < bundle->nx; i++)
            thaw_tie_press(bundle, (size_t)j * (size_t)bundle->nx + (size_t)i, tie_tightness * (to_m - from_m) / bundle->cell_m);
    }
}

/* Each column leaves from where its last cell lies on the heap and joins the path within settle_m, so that
 * no step is steeper than the cloth is long. */
void thaw_hang_lay(const thaw_specification *spec, int first_row, thaw_bundle *bundle)
{
    thaw_bundle *b = bundle;
    const size_t nx = (size_t)b->nx, edge = (size_t)(first_row - 1) * nx;
    const double begin_m = b->cell_m * (ceil(b->length_m / b->cell_m) + round(gap_m / b->cell_m));
    b->hung_rows = b->ny - first_row;
    for (size_t k = edge + nx; k < b->n; k++) {
        double along_m = ((double)(k / nx - (size_t)first_row) + 0.5) * b->cell_m;
        b->x_m[k] = ((double)(k % nx) + 0.5) * b->cell_m;
        b->y_m[k] = begin_m + along_m;
        b->z_m[k] = thaw_hang_height_m(spec, along_m) + b->z_m[edge + k % nx] * fmax(0.0, 1.0 - along_m / settle_m);
    }
    if (spec->hang.tie_m > 0.0)
        tie_rows(spec, first_row, b);
    b->hang_width_m = b->nx * b->cell_m;
    b->hang_length_m = begin_m + b->hung_rows * b->cell_m;
}
