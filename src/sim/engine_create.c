#include "sim/engine.h"

#include <math.h>

#include "base/alloc.h"
#include "sim/solutes.h"

#define SQUARE_M 0.008             /* squares for heat and ice: below the 25 mm over which wet cloth evens out */
#define ACROSS_SHARE 0.2           /* conductivity through the thickness / in the plane: estimate 0.1 .. 0.3 */

thaw_engine_tolerance thaw_engine_usual(void)
{
    return (thaw_engine_tolerance){
        .water = 1e-2, .solver = 2e-4, .courant = 1.5, .macro_first_s = 10.0, .macro_share = 0.05, .macro_melt_s = 300.0, .macro_batch_s = 900.0,
        .macro_pool_s = 120.0};
}

static thaw_status allocate_fields(thaw_engine *e, thaw_error *err)
{
    const size_t n = e->bundle->n;
    double **fields[] = {&e->mobility0x, &e->mobility0y, &e->mobility0l, &e->conductivity, &e->volume_m,
                         &e->source, &e->next, &e->increment, &e->seen,
                         &e->layer_spread, &e->state.saturation, &e->state.soda_kg_m2};
    for (size_t f = 0; f < sizeof fields / sizeof *fields; f++) {
        if (!(*fields[f] = thaw_allocate(n, sizeof(double), err))) {
            return THAW_ERR_MEMORY;
        }
    }
    float **flows[] = {&e->fx, &e->fy, &e->fl, &e->dx, &e->dy, &e->dl, &e->leaving, &e->spreading, &e->more, &e->net};
    for (size_t f = 0; f < sizeof flows / sizeof *flows; f++) {
        if (!(*flows[f] = thaw_allocate(n, sizeof(float), err))) {
            return THAW_ERR_MEMORY;
        }
    }
    for (int c = 0; c < e->dyes->n; c++) {
        double **dye[] = {&e->state.mobile_kg_m2[c], &e->state.fixed_kg_m2[c], &e->state.hydrolysed_kg_m2[c],
                          &e->state.powder_kg_m2[c]};
        for (size_t f = 0; f < sizeof dye / sizeof *dye; f++) {
            if (!(*dye[f] = thaw_allocate(n, sizeof(double), err))) {
                return THAW_ERR_MEMORY;
            }
        }
        if (e->heap->lump_kg_m2[c] && !(e->state.lump_kg_m2[c] = thaw_allocate(n, sizeof(double), err))) {
            return THAW_ERR_MEMORY;
        }
        e->state.components[c] = e->dyes->components[c];
    }
    if (e->heap->has_soda && !(e->state.powder_kg_m2[e->dyes->n] = thaw_allocate(n, sizeof(double), err))) {
        return THAW_ERR_MEMORY;
    }
    if (e->spec->starts_dry && !(e->thirst_kg_m2 = thaw_allocate(n, sizeof(double), err))) {
        return THAW_ERR_MEMORY;
    }
    e->state.n = n;
    e->state.n_components = e->dyes->n;
    return THAW_OK;
}

/* Where one cell lies farther above the other than the way that was counted between them, the way is the rise. So heights agree
 * round every ring of cells, and water comes to rest; rises cut short would drive it round without end. */
static double stretch(const thaw_engine *e, size_t a, size_t b, double way_m)
{
    const double rise_m = fabs(e->bundle->z_m[a] - e->bundle->z_m[b]);
    return rise_m > way_m ? way_m / rise_m : 1.0;
}

/* Conductances at 20 C: in plane d K h_e / dx^2 with the harmonic mean of the two cells, through the
 * layers contact K_z h_e / d. A seam conducts as the cloth itself does: its allowances are stitched flat on each
 * other over a centimetre, and through that much contact flows more than along the sheet (estimate). */
static void set_conductances(thaw_engine *e)
{
    const thaw_cloth_kind *cloth = e->spec->cloth;
    const size_t nx = (size_t)e->bundle->nx, n = e->bundle->n;
    const double sheet = cloth->thickness_m * cloth->conductivity_m_s * cloth->entry_head_m /
                         (e->bundle->cell_m * e->bundle->cell_m);
    const double across = ACROSS_SHARE * cloth->conductivity_m_s * cloth->entry_head_m / cloth->thickness_m;
    for (size_t k = 0; k < n; k++) {
        const double a = e->conductivity[k];
        if (thaw_bundle_joins_right(e->bundle, k)) {
            double b = e->conductivity[k + 1];
            e->mobility0x[k] = cloth->weft_ratio * sheet * 2.0 * a * b / (a + b) * stretch(e, k, k + 1, e->bundle->cell_m);
        }
        if (thaw_bundle_joins_down(e->bundle, k)) {
            double b = e->conductivity[k + nx];
            e->mobility0y[k] = sheet * 2.0 * a * b / (a + b) * stretch(e, k, k + nx, e->bundle->cell_m);
        }
        if (thaw_bundle_is_sewn(e->bundle, k)) {
            double b = e->conductivity[e->bundle->below[k]];
            e->mobility0l[k] = sheet * 2.0 * a * b / (a + b);
            e->layer_spread[k] = 1.0 / (e->bundle->cell_m * e->bundle->cell_m);
        } else if (e->bundle->below[k] >= 0) {
            const double touch = (double)e->bundle->contact[k] * stretch(e, k, (size_t)e->bundle->below[k], THAW_BUNDLE_SAGS_M);
            e->mobility0l[k] = across * touch;
            e->layer_spread[k] = (double)e->bundle->contact[k] / (cloth->thickness_m * cloth->thickness_m);
        }
    }
}

/* Water that cotton keeps in the air of a room, kg per kg: from memory, at 65 % humidity. */
#define REGAIN_KG_KG 0.08

/* Everything put on, kg. */
static double powder_total_kg(const thaw_engine *e, int c)
{
    const thaw_heap *h = e->heap;
    double sum = h->powder_lost_kg[c] + thaw_engine_sum_kg(e, e->state.powder_kg_m2[c]);
    for (int i = 0; i < h->n * THAW_HEAP_SIDES; i++) {
        sum += h->powder_kg[c][i];
    }
    sum += e->state.lump_kg_m2[c] ? thaw_engine_sum_kg(e, e->state.lump_kg_m2[c]) : 0.0;
    for (int i = 0; h->poured_dye_kg[c] && i < h->n * THAW_HEAP_SIDES; i++) {
        sum += h->poured_dye_kg[c][i];
    }
    for (size_t k = 0; h->wetted_dye_kg[c] && k < e->bundle->n; k++) {
        sum += h->wetted_dye_kg[c][k];
    }
    return sum;
}

/* What is no cloth holds nothing; nothing flows to it either. */
static void leave_empty(thaw_engine *e)
{
    for (size_t k = 0; e->bundle->panel && k < e->bundle->n; k++) {
        if (!thaw_bundle_is_cloth(e->bundle, k)) {
            e->state.saturation[k] = e->state.soda_kg_m2[k] = 0.0;
            if (e->thirst_kg_m2) {
                e->thirst_kg_m2[k] = 0.0;
            }
        }
    }
}

/* Dry cloth holds the soda of its soak, but the water is gone. */
static void dry_out(thaw_engine *e)
{
    const thaw_cloth_kind *cloth = e->spec->cloth;
    for (size_t k = 0; e->thirst_kg_m2 && k < e->bundle->n; k++) {
        e->state.saturation[k] = THAW_AIR_DRY_SATURATION;
        e->thirst_kg_m2[k] = fmax(0.0, cloth->bound_kg_kg - REGAIN_KG_KG) * cloth->mass_kg_m2;
    }
}

static void fill_start(thaw_engine *e, const double *conductivity, const double *volume)
{
    const thaw_cloth_kind *cloth = e->spec->cloth;
    const double flowing = fmax(0.0, e->spec->pickup_kg_kg - cloth->bound_kg_kg) * cloth->mass_kg_m2;
    const double all = e->spec->pickup_kg_kg * cloth->mass_kg_m2;
    for (size_t k = 0; k < e->bundle->n; k++) {
        e->conductivity[k] = conductivity ? conductivity[k] : 1.0;
        e->volume_m[k] = cloth->pore_m * (volume ? volume[k] : 1.0);
        /* Wringing leaves the same saturation everywhere, up to full. */
        double s = flowing / (THAW_WATER_DENSITY_KG_M3 * cloth->pore_m);
        e->state.saturation[k] = fmin(1.0, fmax(s, 2.0 * THAW_DRY_SATURATION));
        e->state.soda_kg_m2[k] = e->spec->soda_kg_m3 * all / THAW_WATER_DENSITY_KG_M3;
        for (int c = 0; c < e->dyes->n + e->heap->has_soda; c++) {
            e->state.powder_kg_m2[c][k] = e->heap->fallen_kg_m2[c][k];
            if (e->state.lump_kg_m2[c]) {
                e->state.lump_kg_m2[c][k] = e->heap->lump_kg_m2[c][k];
            }
        }
    }
    dry_out(e);
    leave_empty(e);
    e->water.start_kg = 0.0;
    for (size_t k = 0; k < e->bundle->n; k++) {
        e->increment[k] = e->volume_m[k] * e->state.saturation[k] * THAW_WATER_DENSITY_KG_M3;
    }
    e->water.start_kg = thaw_engine_sum_kg(e, e->increment);
    e->soda_start_kg = thaw_engine_sum_kg(e, e->state.soda_kg_m2);
    for (int c = 0; c < e->dyes->n; c++) {
        e->weighed_kg[c] = powder_total_kg(e, c);
    }
    e->soda_start_kg += e->heap->has_soda ? powder_total_kg(e, e->dyes->n) : 0.0;
}

static thaw_status create_heat(thaw_engine *e, thaw_error *err)
{
    if (thaw_warmth_create(e->spec, e->bundle, SQUARE_M, &e->warmth, err) != THAW_OK ||
        thaw_melt_create(e->heap, e->bundle, &e->warmth, &e->melt, err) != THAW_OK ||
        thaw_drip_create(e->heap, e->bundle, e->dyes, e->spec->seed, e->state.powder_kg_m2, &e->drip, err) != THAW_OK) {
        return THAW_ERR_MEMORY;
    }
    if (e->pool.is_set && thaw_drip_keep_spilt(&e->drip, e->warmth.n, err) != THAW_OK) {
        return THAW_ERR_MEMORY;
    }
    e->square_water = thaw_allocate(e->warmth.n, sizeof(double), err);
    e->warm_at = thaw_allocate(e->warmth.n, sizeof(double), err);
    e->warm_k = thaw_allocate(e->warmth.n, sizeof(double), err);
    e->shed = thaw_allocate(e->warmth.n, sizeof(double), err);
    e->holds_kg = thaw_allocate(e->warmth.n, sizeof(double), err);
    if (!e->square_water || !e->warm_at || !e->warm_k || !e->shed || !e->holds_kg) {
        return THAW_ERR_MEMORY;
    }
    const double brim = thaw_runoff_brim(e->retention.film_slope);
    for (size_t k = 0; k < e->bundle->n; k++) {
        if (!thaw_bundle_is_cloth(e->bundle, k)) {
            continue;
        }
        e->holds_kg[e->warmth.square_of_cell[k]] +=
            e->volume_m[k] * brim * THAW_WATER_DENSITY_KG_M3 * e->bundle->cell_m * e->bundle->cell_m;
    }
    double area = 0.0;
    for (size_t q = 0; q < e->warmth.n; q++) {
        area += (1.0 - thaw_warmth_hung(&e->warmth, q)) * e->warmth.cloth_share[q] * SQUARE_M * SQUARE_M;
    }
    e->weather = thaw_weather_of(e->spec, area, 2.0 * (e->bundle->width_m + e->bundle->length_m));
    for (size_t k = thaw_bundle_first_hung(e->bundle); k < e->bundle->n; k++) {
        e->seen[k] *= 2.0 * e->weather.film_hung_w_m2k / e->weather.film_top_w_m2k; /* dries from both sides */
    }
    thaw_engine_weigh(e);
    thaw_warmth_start(&e->warmth, e->spec->room_k, e->square_water, &e->heat);
    return THAW_OK;
}

static thaw_status create_curve(thaw_engine *e, thaw_error *err)
{
    const thaw_engine_tolerance *t = &e->tolerance;
    const double longest = fmax(t->macro_melt_s, t->macro_batch_s), least = fmin(t->macro_melt_s, t->macro_batch_s);
    const double graded = 1.0 / t->macro_share + log(fmax(1.0, longest / t->macro_first_s)) / log1p(t->macro_share) + 2.0;
    e->curve.room = (int)(e->spec->leave_s / fmin(t->macro_pool_s, least) + (1 + e->spec->n_ice) * graded) + 64;
    double **arrays[] = {&e->curve.t_s, &e->curve.ice_kg, &e->curve.melt_kg_s, &e->curve.cloth_k, &e->curve.fixed_kg};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
        if (!(*arrays[a] = thaw_allocate((size_t)e->curve.room, sizeof(double), err))) {
            return THAW_ERR_MEMORY;
        }
    }
    return THAW_OK;
}

thaw_status thaw_engine_create(const thaw_specification *spec, const thaw_bundle *bundle, const thaw_heap *heap,
                               const thaw_dye_list *dyes, const double *conductivity, const double *volume,
                               thaw_engine_tolerance tolerance, thaw_engine *out, thaw_error *err)
{
    const thaw_cloth_kind *cloth = spec->cloth;
    *out = (thaw_engine){.spec = spec, .bundle = bundle, .heap = heap, .dyes = dyes, .tolerance = tolerance,
                         .inner_s = 1.0, .melt_most_s = -1.0, .melt_all_s = heap->mass_total_kg > 0.0 ? -1.0 : 0.0};
    thaw_engine *e = out;
    if (allocate_fields(e, err) != THAW_OK || thaw_lanes_create(bundle->n, bundle->ny, 1 + dyes->n, e, err) != THAW_OK) {
        goto fail;
    }
    if (thaw_pool_create(spec, bundle, dyes->n, &e->pool, err) != THAW_OK) {
        goto fail;
    }
    thaw_retention_init(&e->retention, cloth->lambda);
    e->retention.film_slope = cloth->pore_m / THAW_BETWEEN_FOLDS_M; /* filled as psi falls from h_e to nothing */
    fill_start(e, conductivity, volume);
    if (thaw_web_create(bundle->nx, bundle->ny, cloth->entry_head_m, bundle->below, bundle->z_m,
                        &e->web, err) != THAW_OK) {
        goto fail;
    }
    for (size_t t = 0; t < (size_t)bundle->tray_nx * (size_t)bundle->tray_ny; t++) {
        if (bundle->top[t] >= 0) {
            e->seen[bundle->top[t]] += 1.0;
        }
    }
    e->web.volume_m = e->volume_m;
    set_conductances(e);
    if (thaw_runoff_set(bundle, e->retention.film_slope, cloth->pore_m, e->pool.is_set, &e->web, err) != THAW_OK ||
        create_heat(e, err) != THAW_OK || create_curve(e, err) != THAW_OK ||
        thaw_wick_create(&e->retention, &e->web, e->volume_m, &e->wick, err) != THAW_OK ||
        thaw_uptake_create(spec, dyes, &e->warmth, e->volume_m, (size_t)bundle->ny, bundle->n, &e->uptake, err) != THAW_OK) {
        goto fail;
    }
    e->wick.solver_tolerance = tolerance.solver;
    return THAW_OK;
fail:
    thaw_engine_destroy(out);
    return THAW_ERR_MEMORY;
}

void thaw_engine_destroy(thaw_engine *e)
{
    double *blocks[] = {e->mobility0x, e->mobility0y, e->mobility0l, e->conductivity, e->volume_m, e->source, e->next,
                        e->increment, e->seen, e->layer_spread, e->square_water, e->warm_at, e->warm_k, e->shed, e->holds_kg,
                        e->state.saturation, e->state.soda_kg_m2, e->curve.t_s, e->curve.ice_kg, e->curve.melt_kg_s,
                        e->curve.cloth_k, e->curve.fixed_kg};
    for (size_t b = 0; b < sizeof blocks / sizeof *blocks; b++) {
        thaw_release(blocks[b]);
    }
    float *flows[] = {e->fx, e->fy, e->fl, e->dx, e->dy, e->dl, e->leaving, e->spreading, e->more, e->net};
    for (size_t f = 0; f < sizeof flows / sizeof *flows; f++) {
        thaw_release(flows[f]);
    }
    for (int c = 0; c < THAW_MAX_COMPONENTS; c++) {
        thaw_release(e->state.mobile_kg_m2[c]);
        thaw_release(e->state.fixed_kg_m2[c]);
        thaw_release(e->state.hydrolysed_kg_m2[c]);
    }
    for (int c = 0; c < THAW_MAX_POWDERS; c++) {
        thaw_release(e->state.powder_kg_m2[c]);
        thaw_release(e->state.lump_kg_m2[c]);
    }
    thaw_release(e->thirst_kg_m2);
    thaw_pool_destroy(&e->pool);
    thaw_lanes_destroy(e);
    thaw_uptake_destroy(&e->uptake);
    thaw_drip_destroy(&e->drip);
    thaw_melt_destroy(&e->melt);
    thaw_warmth_destroy(&e->warmth);
    thaw_wick_destroy(&e->wick);
    thaw_web_destroy(&e->web);
    *e = (thaw_engine){0};
}
