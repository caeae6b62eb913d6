#include "sim/runoff.h"

#include "base/alloc.h"

#define EXIT_EVERY_M 0.035         /* spacing of drops under wet cloth: estimate, above 2 pi sqrt2 l_c = 25 mm */
#define HANGS_M 0.05e-3            /* a film below the cloth lets go anywhere when so much thicker: estimate */
/* Hanging cloth lets go nowhere but at its free end. */
#define NEVER 1e9
/* Surplus under a head of h_e passes on within a second or so, whatever stores it: estimate. */
#define SPILL_PER_S 1.0

static int square_of(double x_m, int n)
{
    int i = (int)(x_m / EXIT_EVERY_M);
    return i < 0 ? 0 : (i >= n ? n - 1 : i);
}

/* The last row of hanging cloth; of a garment any edge that has no cloth before or behind it along the length. */
static bool is_free_end(const thaw_bundle *bundle, size_t k)
{
    return !thaw_bundle_joins_down(bundle, k) || !thaw_bundle_joins_down(bundle, k - (size_t)bundle->nx);
}

double thaw_runoff_brim(double film_slope)
{
    return 1.0 + 1.0 / film_slope;
}

/* Water runs down inside hanging cloth; drops leave its free end. */
static void set_hung(const thaw_bundle *bundle, double brim, thaw_web *web)
{
    for (size_t k = thaw_bundle_first_hung(bundle); k < bundle->n; k++) {
        web->full[k] = is_free_end(bundle, k) ? brim : NEVER;
    }
}

thaw_status thaw_runoff_set(const thaw_bundle *bundle, double film_slope, double pore_m, bool stands, thaw_web *web,
                            thaw_error *err)
{
    const double brim = thaw_runoff_brim(film_slope), hangs = stands ? 0.0 : HANGS_M / pore_m;
    int nx = (int)(bundle->width_m / EXIT_EVERY_M) + 1, ny = (int)(bundle->length_m / EXIT_EVERY_M) + 1;
    const size_t n_squares = (size_t)nx * (size_t)ny;
    int32_t *lowest = thaw_allocate(n_squares, sizeof *lowest, err);
    if (!lowest) {
        return THAW_ERR_MEMORY;
    }
    web->spill_per_s = SPILL_PER_S * film_slope;
    for (size_t q = 0; q < n_squares; q++) {
        lowest[q] = -1;
    }
    for (size_t k = 0; k < thaw_bundle_first_hung(bundle); k++) {
        web->full[k] = brim;
        if (bundle->below[k] < 0 && thaw_bundle_is_cloth(bundle, k)) {
            int i = square_of(bundle->x_m[k], nx), j = square_of(bundle->y_m[k], ny);
            int32_t *best = &lowest[(size_t)j * (size_t)nx + (size_t)i];
            web->full[k] += hangs;
            if (*best < 0 || bundle->z_m[k] < bundle->z_m[*best]) {
                *best = (int32_t)k;
            }
        }
    }
    for (size_t q = 0; q < n_squares; q++) {
        if (lowest[q] >= 0) {
            web->full[lowest[q]] = brim;
        }
    }
    set_hung(bundle, brim, web);
    thaw_release(lowest);
    return THAW_OK;
}
