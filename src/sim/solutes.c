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
        float **flows[] = {&lane->holds, &lane->inverse, &lane->work.c, &lane->work.giving, &lane->work.gx,
                           &lane->work.gy, &lane->work.gl};
        lane->capacity = l == 0 ? thaw_allocate(n, sizeof(double), err) : NULL;
        lane->work.rows = thaw_allocate((size_t)ny, sizeof(double), err);
        if ((l == 0 && !lane->capacity) || !lane->work.rows || thaw_spate_create(n, ny, &lane->spate, err) != THAW_OK) {
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
        void *blocks[] = {lane->capacity, lane->holds, lane->inverse, lane->work.c, lane->work.giving, lane->work.gx,
                          lane->work.gy, lane->work.gl, lane->work.rows};
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

/* A solute as it is carried; component < 0: soda ash. */
typedef struct solute {
    int component;
    double diffusivity_m2_s, *mobile, *tub_kg;
} solute;

/* Capacity and 1 / capacity at the start of the step: see thaw_uptake_capacity. */
static void set_capacity(const thaw_engine *e, int component, float *restrict holds, float *restrict inverse)
{
    const thaw_cloth_kind *cloth = e->spec->cloth;
    const double bound = component < 0 ? cloth->bound_kg_kg * cloth->mass_kg_m2 / THAW_WATER_DENSITY_KG_M3 : 0.0;
    const double kd = component < 0 ? 0.0 : e->dyes->components[component]->kd_m3_kg;
    const double *restrict v = e->volume_m, *restrict s = e->state.saturation, *restrict hold = e->uptake.hold_m3_kg_m2;
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < e->bundle->n; k++) {
        holds[k] = (float)(v[k] * s[k] + kd * hold[k] + bound);
        inverse[k] = 1.0f / holds[k];
    }
}

/* 1 / capacity when `share` of the step's water has come. */
static void set_inverse(const thaw_engine *e, float share, const float *restrict holds, float *restrict inverse)
{
    const float *restrict more = e->more;
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < e->bundle->n; k++) {
        inverse[k] = 1.0f / (holds[k] + share * more[k]);
    }
}

/* Is any of it on the cloth? */
static bool is_there(size_t n, const double *mobile)
{
    size_t k = 0;
    while (k < n && mobile[k] == 0.0) {
        k++;
    }
    return k < n;
}

static thaw_carry_edges edges_of(const thaw_engine *e, double diffusivity_m2_s)
{
    return (thaw_carry_edges){.fx = e->fx, .fy = e->fy, .fl = e->fl, .dx = e->dx, .dy = e->dy, .dl = e->dl,
                              .diffusivity_m2_s = (float)diffusivity_m2_s};
}

/* Carry one solute through an inner step in as many parts as its Courant number asks; returns them. */
static int carry_one(const thaw_engine *e, thaw_lane *lane, const solute *what)
{
    double sum = 0.0;
    const thaw_carry_edges edges = edges_of(e, what->diffusivity_m2_s);
    if (!is_there(e->bundle->n, what->mobile)) {
        return 0;
    }
    set_capacity(e, what->component, lane->holds, lane->inverse);
    float *ratio = lane->work.c; /* Courant numbers, until parts are chosen */
    const double courant = thaw_carry_courant_of(&e->web, edges.diffusivity_m2_s, e->leaving, e->spreading, lane->inverse,
                                                 ratio, lane->work.rows);
    const int parts = thaw_spate_choose(&lane->spate, &e->web, &edges, ratio, e->net, courant, e->tolerance.courant);
    for (int p = 0; p < parts; p++) {
        if (p > 0) {
            set_inverse(e, (float)p / (float)parts, lane->holds, lane->inverse);
        }
        thaw_carry_part(&e->web, &edges, 1.0 / parts, lane->inverse, what->mobile, &lane->work, &lane->spate, &sum);
    }
    *what->tub_kg += sum * e->bundle->cell_m * e->bundle->cell_m;
    return parts;
}

/* What landed comes along first. */
static solute solute_of(thaw_engine *e, int c, double share)
{
    const bool soda = c < 0;
    solute out = {.component = c, .diffusivity_m2_s = soda ? SODA_M2_S : e->dyes->components[c]->diffusivity_m2_s,
                  .mobile = soda ? e->state.soda_kg_m2 : e->state.mobile_kg_m2[c],
                  .tub_kg = soda ? &e->tub_soda_kg : &e->tub_dye_kg[c]};
    const double *landed = e->drip.landed_dye_kg[soda ? e->dyes->n : c];
    for (int l = 0; (!soda || e->heap->has_soda) && l < e->drip.n_landings; l++) {
        out.mobile[e->drip.landings[l].cell] += share * landed[l];
    }
    return out;
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
        e->more[k] = (float)e->increment[k];
        e->net[k] = (float)(e->increment[k] - inner_s * e->source[k]);
    }
    /* Soda ash first: nothing holds it back, so it asks for the most parts. */
#pragma omp parallel for schedule(dynamic, 1) num_threads(e->n_lanes) reduction(+ : carried)
    for (int c = -1; c < e->dyes->n; c++) {
        thaw_lane *lane = &e->lanes[own_number()];
        const solute what = solute_of(e, c, share);
        carried += carry_one(e, lane, &what);
    }
    e->n_carry += carried;
}
