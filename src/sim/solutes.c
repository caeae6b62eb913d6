#include "sim/solutes.h"

#include <math.h>
#ifdef _OPENMP
#include <omp.h>
#endif

#include "base/alloc.h"
#include "sim/carry.h"

#define SODA_M2_S (1.3e-9 * 0.88)  /* at 20 C: from memory */

static int threads(void)
{
#ifdef _OPENMP
    return omp_get_max_threads();
#else
    return 1;
#endif
}

static int own_number(void)
{
#ifdef _OPENMP
    return omp_get_thread_num();
#else
    return 0;
#endif
}

thaw_status thaw_lanes_create(size_t n, int ny, int n_solutes, thaw_engine *engine, thaw_error *err)
{
    int most = threads() < THAW_MOST_LANES ? threads() : THAW_MOST_LANES;
    engine->n_lanes = n_solutes < most ? n_solutes : most;
    for (int l = 0; l < engine->n_lanes; l++) {
        thaw_lane *lane = &engine->lanes[l];
        float **flows[] = {&lane->inverse, &lane->conc, &lane->cx, &lane->cy, &lane->cl};
        lane->capacity = thaw_allocate(n, sizeof(double), err);
        lane->rows = thaw_allocate((size_t)ny, sizeof(double), err);
        if (!lane->capacity || !lane->rows || thaw_spate_create(n, &lane->spate, err) != THAW_OK) {
            return THAW_ERR_MEMORY;
        }
        for (size_t f = 0; f < sizeof flows / sizeof *flows; f++) {
            if (!(*flows[f] = thaw_allocate(n, sizeof(float), err))) {
                return THAW_ERR_MEMORY;
            }
        }
    }
    return THAW_OK;
}

void thaw_lanes_destroy(thaw_engine *engine)
{
    for (int l = 0; l < THAW_MOST_LANES; l++) {
        thaw_lane *lane = &engine->lanes[l];
        void *blocks[] = {lane->capacity, lane->rows, lane->inverse, lane->conc, lane->cx, lane->cy, lane->cl};
        for (size_t b = 0; b < sizeof blocks / sizeof *blocks; b++) {
            thaw_release(blocks[b]);
        }
        thaw_spate_destroy(&lane->spate);
        *lane = (thaw_lane){0};
    }
}

/* Pore water through which dye diffuses, share of the pores. */
static inline double flowing(double s)
{
    return s > 0.0 ? (s < 1.0 ? s : 1.0) : 0.0;
}

/* Edge water, and exchange by diffusion over dt for unit diffusivity at 20 C; warmth through
 * Stokes-Einstein. */
static void set_exchange(thaw_engine *e, double dt_s)
{
    const size_t nx = (size_t)e->bundle->nx, n = e->bundle->n;
    const double per_area = dt_s / (e->bundle->cell_m * e->bundle->cell_m);
    const double *s = e->state.saturation, *v = e->volume_m;
    const int32_t *sq = e->warmth.square_of_cell;
    const thaw_bundle *bundle = e->bundle;
    const double *warm = e->warm_at; /* rho/mu ratio: T/T20 differs from 1 by 7 % at most */
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        const double here = v[k] * flowing(s[k]) * warm[sq[k]];
        const size_t right = thaw_bundle_joins_right(bundle, k) ? k + 1 : k;
        const size_t lower = thaw_bundle_joins_down(bundle, k) ? k + nx : k;
        e->dx[k] = right == k ? 0.0f : (float)(per_area * 0.5 * (here + v[right] * flowing(s[right]) * warm[sq[right]]));
        e->dy[k] = lower == k ? 0.0f : (float)(per_area * 0.5 * (here + v[lower] * flowing(s[lower]) * warm[sq[lower]]));
        e->dl[k] = (float)(dt_s * e->layer_spread[k] * here);
        e->fx[k] = (float)e->wick.fx[k];
        e->fy[k] = (float)e->wick.fy[k];
        e->fl[k] = (float)e->wick.fl[k];
    }
}

static void invert(size_t n, const double *restrict a, float *restrict inverse)
{
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        inverse[k] = 1.0f / (float)a[k];
    }
}

static thaw_carry_edges edges_of(const thaw_engine *e, double diffusivity_m2_s)
{
    return (thaw_carry_edges){.fx = e->fx, .fy = e->fy, .fl = e->fl, .dx = e->dx, .dy = e->dy, .dl = e->dl,
                              .diffusivity_m2_s = (float)diffusivity_m2_s};
}

/* Carry one solute through an inner step in as many parts as its Courant number asks; returns them. */
static int carry_one(const thaw_engine *e, thaw_lane *lane, double diffusivity_m2_s, double *mobile, double *tub_kg)
{
    double sum = 0.0;
    const size_t n = e->bundle->n;
    const thaw_carry_edges edges = edges_of(e, diffusivity_m2_s);
    invert(n, lane->capacity, lane->inverse);
    const double courant = thaw_carry_courant_of(&e->web, edges.diffusivity_m2_s, e->leaving, e->spreading, lane->inverse,
                                                 lane->conc, lane->rows);
    const int parts = thaw_spate_choose(&lane->spate, &e->web, &edges, lane->conc, lane->inverse, courant,
                                        e->tolerance.courant);
    for (int p = 0; p < parts; p++) {
        thaw_carry_part(&e->web, &edges, 1.0 / parts, lane->inverse, mobile, lane->conc, lane->cx, lane->cy, lane->cl,
                        lane->rows, &lane->spate, &sum);
        if (p + 1 < parts) {
#pragma omp parallel for schedule(static)
            for (size_t k = 0; k < n; k++) {
                lane->capacity[k] += e->increment[k] / parts;
            }
            invert(n, lane->capacity, lane->inverse);
        }
    }
    *tub_kg += sum * e->bundle->cell_m * e->bundle->cell_m;
    return parts;
}

static int carry_dye(thaw_engine *e, thaw_lane *lane, int c, double share)
{
    double *mobile = e->state.mobile_kg_m2[c];
    for (int l = 0; l < e->drip.n_landings; l++) {
        mobile[e->drip.landings[l].cell] += share * e->drip.landed_dye_kg[c][l];
    }
    thaw_uptake_capacity(&e->uptake, c, e->bundle->n, e->state.saturation, lane->capacity);
    return carry_one(e, lane, e->dyes->components[c]->diffusivity_m2_s, mobile, &e->tub_dye_kg[c]);
}

void thaw_solutes_carry(thaw_engine *e, double inner_s, double macro_s)
{
    const size_t n = e->bundle->n;
    const double share = inner_s / macro_s / (e->bundle->cell_m * e->bundle->cell_m);
    long carried = 0;
    set_exchange(e, inner_s);
    const thaw_carry_edges edges = edges_of(e, 0.0);
    thaw_carry_leaving(&e->web, &edges, e->leaving, e->spreading);
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        e->increment[k] = e->volume_m[k] * (e->next[k] - e->state.saturation[k]);
    }
    /* Soda ash first: nothing holds it back, so it asks for the most parts. */
#pragma omp parallel for schedule(dynamic, 1) num_threads(e->n_lanes) reduction(+ : carried)
    for (int c = -1; c < e->dyes->n; c++) {
        thaw_lane *lane = &e->lanes[own_number()];
        if (c < 0) {
            for (int l = 0; e->heap->has_soda && l < e->drip.n_landings; l++) {
                e->state.soda_kg_m2[e->drip.landings[l].cell] += share * e->drip.landed_dye_kg[e->dyes->n][l];
            }
            thaw_uptake_soda_capacity(&e->uptake, n, e->state.saturation, lane->capacity);
            carried += carry_one(e, lane, SODA_M2_S, e->state.soda_kg_m2, &e->tub_soda_kg);
        } else {
            carried += carry_dye(e, lane, c, share);
        }
    }
    e->n_carry += carried;
}
