#include "sim/bounds.h"

#include "base/error.h"

/* A cell on the rim of the bundle under a strong drip piles up a bead, and liquid dye may stand on thin cloth: more
 * than this is a fault. */
#define OVERFULL_MOST 50.0
#define STANDS_MOST_M 0.02
/* Dry cells waver round nothing by what the solver leaves over: so little below it is nothing too, and the books
 * keep it. */
#define NOTHING (-1e-6)

static inline bool is_in_range(const thaw_engine *e, size_t k, double saturation)
{
    return saturation >= NOTHING && (saturation < OVERFULL_MOST || saturation * e->volume_m[k] < STANDS_MOST_M);
}

bool thaw_bounds_fit(const thaw_engine *e)
{
    int amiss = 0; /* the same whoever finds it */
#pragma omp parallel for schedule(static) reduction(| : amiss)
    for (size_t k = 0; k < e->bundle->n; k++) {
        amiss |= !is_in_range(e, k, e->next[k]);
    }
    return !amiss;
}

/* Where the state is amiss; for the message. */
static thaw_status tell_fault(const thaw_engine *e, size_t k, thaw_error *err)
{
    const thaw_state *s = &e->state;
    const size_t i = k % (size_t)e->bundle->nx, j = k / (size_t)e->bundle->nx;
    if (!is_in_range(e, k, s->saturation[k])) {
        return thaw_fail(err, THAW_ERR_UNPHYSICAL, "saturation %g at column %zu, row %zu of the cloth after %.2f h",
                         s->saturation[k], i, j, s->time_s / 3600.0);
    }
    for (int c = 0; c < s->n_components; c++) {
        if (!(s->mobile_kg_m2[c][k] >= -1e-12)) {
            return thaw_fail(err, THAW_ERR_UNPHYSICAL, "%s %g kg/m2 at column %zu, row %zu of the cloth after %.2f h",
                             s->components[c]->name, s->mobile_kg_m2[c][k], i, j, s->time_s / 3600.0);
        }
    }
    if (!(s->soda_kg_m2[k] >= -1e-12)) {
        return thaw_fail(err, THAW_ERR_UNPHYSICAL, "soda ash %g kg/m2 at column %zu, row %zu of the cloth after %.2f h",
                         s->soda_kg_m2[k], i, j, s->time_s / 3600.0);
    }
    return THAW_OK;
}

thaw_status thaw_bounds_check(const thaw_engine *e, thaw_error *err)
{
    const thaw_state *s = &e->state;
    int amiss = 0;
#pragma omp parallel for schedule(static) reduction(| : amiss)
    for (size_t k = 0; k < s->n; k++) {
        amiss |= !is_in_range(e, k, s->saturation[k]) || !(s->soda_kg_m2[k] >= -1e-12);
        for (int c = 0; c < s->n_components; c++) {
            amiss |= !(s->mobile_kg_m2[c][k] >= -1e-12);
        }
    }
    for (size_t k = 0; amiss && k < s->n; k++) {
        if (tell_fault(e, k, err) != THAW_OK) {
            return THAW_ERR_UNPHYSICAL;
        }
    }
    return THAW_OK;
}
