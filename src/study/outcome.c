#include "study/outcome.h"

#include <math.h>
#include <string.h>

#include "base/alloc.h"
#include "data/dyes.h"
#include "look/climb.h"
#include "look/measure.h"
#include "setup/fold.h"
#include "setup/lay.h"
#include "setup/tie.h"
#include "setup/unevenness.h"
#include "study/panel_figures.h"

/* How far ahead the end value of fixation is looked for, and how close to it is ready. */
#define AHEAD_H 96.0
#define READY_SHARE 0.95
#define ROUGHER 3.0                /* steps and errors of a rough run, times the usual */
#define AIR_SAMPLES 48

static void list_dyes(const thaw_specification *spec, thaw_dye_list *list)
{
    bool used[THAW_MAX_TABLE_ROWS] = {false};
    for (int z = 0; z < spec->n_dye; z++) {
        for (int p = 0; p < spec->dye[z].colour->n_parts; p++) {
            used[spec->dye[z].colour->parts[p].component] = true;
        }
    }
    list->n = 0;
    for (int row = 0; row < THAW_MAX_TABLE_ROWS; row++) {
        list->of_row[row] = -1;
        if (used[row] && list->n < THAW_MAX_COMPONENTS) {
            list->of_row[row] = list->n;
            list->rows[list->n] = row;
            list->components[list->n++] =
                row < THAW_FIRST_OWN_DYE ? thaw_components_at(row) : spec->own_dyes[row - THAW_FIRST_OWN_DYE];
        }
    }
}

void thaw_outcome_list_dyes(thaw_outcome *work)
{
    list_dyes(work->spec, &work->dyes);
}

static thaw_status start_engine(thaw_outcome *w, thaw_error *err)
{
    const size_t n = w->bundle.n;
    double *conductivity = thaw_allocate(n, sizeof(double), err), *volume = thaw_allocate(n, sizeof(double), err);
    thaw_status status = conductivity && volume ? THAW_OK : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        status = thaw_unevenness_fill(w->spec->seed, w->bundle.nx, w->bundle.ny, w->bundle.cell_m, conductivity, volume, err);
    }
    if (status == THAW_OK) {
        thaw_tie_thin(&w->bundle, conductivity, volume);
        thaw_engine_tolerance tolerance = thaw_engine_usual();
        if (w->is_rough) {
            tolerance.water *= ROUGHER;
            tolerance.macro_share *= ROUGHER;
            tolerance.macro_melt_s *= ROUGHER;
            tolerance.macro_batch_s *= ROUGHER;
            tolerance.macro_pool_s *= ROUGHER;
        }
        status = thaw_engine_create(w->spec, &w->bundle, &w->heap, &w->dyes, conductivity, volume, tolerance, &w->engine, err);
    }
    thaw_release(conductivity);
    thaw_release(volume);
    return status;
}

thaw_status thaw_outcome_prepare(thaw_outcome *work, thaw_error *err)
{
    list_dyes(work->spec, &work->dyes);
    for (int c = 0; work->variation && c < work->dyes.n; c++) {
        work->varied[c] = thaw_variation_dye(work->variation, work->dyes.components[c]);
        work->dyes.components[c] = &work->varied[c];
    }
    thaw_status status = thaw_fold_bundle(work->spec, &work->bundle, err);
    if (status == THAW_OK) {
        status = thaw_lay_ice(work->spec, &work->bundle, &work->heap, err);
    }
    if (status == THAW_OK) {
        status = thaw_lay_dye(work->spec, &work->bundle, &work->dyes, &work->heap, err);
    }
    return status == THAW_OK ? start_engine(work, err) : status;
}

void thaw_outcome_clear(thaw_outcome *work)
{
    if (work) {
        thaw_engine_destroy(&work->engine);
        thaw_heap_release(&work->heap);
        thaw_bundle_release(&work->bundle);
    }
}

static void account_dyes(const thaw_engine *e, thaw_preview_figures *f)
{
    f->n_dyes = e->dyes->n < THAW_PREVIEW_MAX_DYES ? e->dyes->n : THAW_PREVIEW_MAX_DYES;
    for (int c = 0; c < f->n_dyes; c++) {
        const thaw_component *d = e->dyes->components[c];
        f->dyes[c] = (thaw_dye_account){
            .name = d->name,
            .generic = d->generic,
            .weighed_kg = e->weighed_kg[c],
            .fixed_kg = thaw_engine_sum_kg(e, e->state.fixed_kg_m2[c]),
            .rinsed_kg = thaw_engine_sum_kg(e, e->state.mobile_kg_m2[c]) +
                         thaw_engine_sum_kg(e, e->state.hydrolysed_kg_m2[c]) +
                         thaw_engine_sum_kg(e, e->state.powder_kg_m2[c]) + thaw_engine_lumps_kg(e, c),
            .tub_kg = e->tub_dye_kg[c] + e->drip.missed_dye_kg[c],
            .ice_kg = thaw_engine_powder_kg(e, c),
            .ledger_error = thaw_engine_dye_error(e, c)};
        f->dye_kg += e->weighed_kg[c];
    }
}

/* Dye that could still bond, but lies in cloth that has dried; of all that was weighed. */
static double dried_share(const thaw_engine *e)
{
    double kg_m2 = 0.0, weighed = 0.0;
    for (int c = 0; c < e->dyes->n; c++) {
        weighed += e->weighed_kg[c];
        for (size_t k = 0; k < e->bundle->n; k++) {
            kg_m2 += e->state.saturation[k] < THAW_MOIST_SATURATION ? e->state.mobile_kg_m2[c][k] : 0.0;
        }
    }
    return weighed > 0.0 ? kg_m2 * e->bundle->cell_m * e->bundle->cell_m / weighed : 0.0;
}

/* Earliest time at which fixed dye has reached the share of its end value; the curve of the run first,
 * then what would follow if the cloth stayed as it is. */
static void find_ready(thaw_outcome *w, thaw_preview_figures *f)
{
    thaw_engine *e = &w->engine;
    double times_s[THAW_FORECAST_TIMES], fixed_kg[THAW_FORECAST_TIMES];
    for (int t = 0; t < THAW_FORECAST_TIMES; t++) {
        double x = (double)(t + 1) / THAW_FORECAST_TIMES;
        times_s[t] = 3600.0 * AHEAD_H * x * x; /* denser at first */
    }
    thaw_uptake_forecast(&e->uptake, w->bundle.nx, w->bundle.ny, &e->state, w->bundle.cell_m * w->bundle.cell_m,
                         THAW_FORECAST_TIMES, times_s, fixed_kg);
    const double end = fixed_kg[THAW_FORECAST_TIMES - 1], goal = READY_SHARE * end;
    const thaw_curve *c = &e->curve;
    f->ready_s = NAN;
    f->fixed_share_of_end = end > 0.0 && c->n > 0 ? c->fixed_kg[c->n - 1] / end : NAN;
    if (!(end > 0.0) || !f->melted) {
        return;
    }
    for (int i = 0; i < c->n; i++) {
        if (c->fixed_kg[i] >= goal) {
            f->ready_s = c->t_s[i];
            return;
        }
    }
    double before_s = 0.0, before_kg = c->fixed_kg[c->n - 1];
    for (int t = 0; t < THAW_FORECAST_TIMES; t++) {
        if (fixed_kg[t] >= goal) {
            double part = (goal - before_kg) / (fixed_kg[t] - before_kg);
            f->ready_s = w->spec->leave_s + before_s + part * (times_s[t] - before_s);
            return;
        }
        before_s = times_s[t];
        before_kg = fixed_kg[t];
    }
}

static double share_fixed(const thaw_preview_figures *f)
{
    double fixed = 0.0, weighed = 0.0;
    for (int i = 0; i < f->n_dyes; i++) {
        fixed += f->dyes[i].fixed_kg;
        weighed += f->dyes[i].weighed_kg;
    }
    return weighed > 0.0 ? fixed / weighed : 0.0;
}

void thaw_outcome_account(thaw_outcome *work, thaw_preview_figures *figures)
{
    const thaw_engine *e = &work->engine;
    thaw_preview_figures *f = figures;
    const double area = thaw_specification_area_m2(work->spec);
    f->cloth_kg = area * work->spec->cloth->mass_kg_m2;
    f->ice_kg = work->heap.mass_total_kg;
    f->melted = e->melt_all_s >= 0.0;
    f->melt_most_s = e->melt_most_s >= 0.0 ? e->melt_most_s : NAN;
    f->melt_all_s = f->melted ? e->melt_all_s : work->spec->leave_s;
    f->ice_left_kg = e->melt.left_kg;
    f->leave_s = work->spec->leave_s;
    account_dyes(e, f);
    f->depth_owg = f->dye_kg / f->cloth_kg;
    f->layers_mean = 0.0;
    size_t squares = (size_t)work->bundle.tray_nx * (size_t)work->bundle.tray_ny, covered = 0;
    for (size_t t = 0; t < squares; t++) {
        if (work->bundle.top[t] >= (int64_t)thaw_bundle_first_hung(&work->bundle)) {
            continue; /* hangs */
        }
        f->layers_mean += work->bundle.layers[t];
        covered += work->bundle.layers[t] > 0;
    }
    f->layers_mean /= covered ? (double)covered : 1.0;
    f->hang_m = work->bundle.hung_rows * work->bundle.cell_m;
    f->free_end_kg = e->free_end_kg;
    f->bundle_width_m = work->bundle.width_m;
    f->bundle_length_m = work->bundle.length_m;
    f->bundle_height_m = work->bundle.height_m;
    f->water_error = thaw_engine_water_error(e);
    f->heat_error = thaw_engine_heat_error(e);
    f->soda_error = thaw_engine_soda_error(e);
    f->water_start_kg = e->water.start_kg;
    f->water_melt_kg = e->water.melt_kg;
    f->water_condensed_kg = e->water.condensed_kg;
    f->water_evaporated_kg = e->water.evaporated_kg;
    f->water_tub_kg = e->water.tub_kg;
    f->water_end_kg = e->water.end_kg;
    f->heat_air_j = e->heat.air;
    f->heat_condensation_j = e->heat.condensation;
    f->heat_radiation_j = e->heat.radiation;
    f->heat_below_j = e->heat.below;
    f->heat_melt_j = e->heat.melt + e->heat.cold;
    f->heat_runoff_j = e->heat.runoff;
    f->soda_start_kg = e->soda_start_kg;
    f->soda_tub_kg = e->tub_soda_kg;
    f->soda_end_kg = e->soda_end_kg;
    f->steps = e->n_inner;
    find_ready(work, f);
    f->fixed_share = share_fixed(f);
    f->dried_share = dried_share(e);
}

void thaw_outcome_print(thaw_outcome *work, thaw_print *print)
{
    thaw_state *state = &work->engine.state;
    *print = (thaw_print){.nx = work->bundle.nx, .ny = work->bundle.ny, .cell_m = work->bundle.cell_m,
                          .cloth = work->spec->cloth, .n_components = work->dyes.n, .saturation = state->saturation};
    for (int c = 0; c < work->dyes.n; c++) {
        double *mobile = state->mobile_kg_m2[c];
        const double *dead = state->hydrolysed_kg_m2[c];
        for (size_t k = 0; k < work->bundle.n; k++) {
            mobile[k] += dead[k];
        }
        print->components[c] = work->dyes.components[c];
        print->rows[c] = work->dyes.rows[c];
        print->fixed_kg_m2[c] = state->fixed_kg_m2[c];
        print->loose_kg_m2[c] = mobile;
    }
}

static void copy_climb(const thaw_climb *climb, double out[3])
{
    out[0] = climb->low_m;
    out[1] = climb->median_m;
    out[2] = climb->high_m;
}

static thaw_status measure_climb(const thaw_outcome *work, const thaw_print *print, thaw_preview_figures *f,
                                 thaw_error *err)
{
    const thaw_climb unknown = {NAN, NAN, NAN};
    thaw_climb all = unknown, each[THAW_MAX_COMPONENTS];
    for (int c = 0; c < THAW_MAX_COMPONENTS; c++) {
        each[c] = unknown;
    }
    thaw_status status = THAW_OK;
    if (work->bundle.hung_rows > 0 && work->bundle.panel) {
        status = thaw_panel_figures_climb(work, print, -1, &all, each, err);
    } else if (work->bundle.hung_rows > 0) {
        status = thaw_look_climb(print, work->bundle.ny - work->bundle.hung_rows, &all, each, err);
    }
    copy_climb(&all, f->climb_m);
    for (int c = 0; c < f->n_dyes; c++) {
        copy_climb(&each[c], f->dyes[c].climb_m);
    }
    return status;
}

/* What the picture shows; *dry and *wet: mean L*. */
static thaw_status measure_look(const thaw_outcome *work, const thaw_print *print, const thaw_colour *const *colours,
                                thaw_look_figures *look, double *dry, double *wet, thaw_error *err)
{
    const int n = work->spec->n_dye;
    if (work->bundle.panel) {
        return thaw_panel_figures_look(work, print, n, colours, look, dry, wet, err);
    }
    thaw_status status = thaw_look_measure(print, n, colours, look, err);
    if (status == THAW_OK) {
        status = thaw_look_lightness(print, false, dry, err);
    }
    return status == THAW_OK ? thaw_look_lightness(print, true, wet, err) : status;
}

thaw_status thaw_outcome_measure(const thaw_outcome *work, const thaw_print *print, thaw_preview_figures *figures,
                                 thaw_error *err)
{
    const thaw_colour *colours[THAW_MAX_DYE_ZONES];
    thaw_look_figures look;
    double dry, wet;
    for (int z = 0; z < work->spec->n_dye; z++) {
        colours[z] = work->spec->dye[z].colour;
    }
    thaw_status status = measure_look(work, print, colours, &look, &dry, &wet, err);
    if (status == THAW_OK && work->bundle.panel) {
        status = thaw_panel_figures_fill(work, print, work->spec->n_dye, colours, figures, err);
    }
    if (status == THAW_OK) {
        status = measure_climb(work, print, figures, err);
    }
    if (status != THAW_OK) {
        return status;
    }
    figures->white_share = look.white_share;
    figures->depth = look.depth;
    figures->unevenness = look.unevenness;
    figures->fineness = look.fineness;
    figures->grain_weft_m = look.grain_weft_m;
    figures->grain_warp_m = look.grain_warp_m;
    figures->bleed_share = look.bleed_share;
    figures->wet_dry_lightness = dry - wet;
    figures->n_palette = THAW_PALETTE;
    for (int i = 0; i < THAW_PALETTE; i++) {
        memcpy(figures->palette[i].rgb, look.palette[i].rgb, sizeof look.palette[i].rgb);
        memcpy(figures->palette[i].lab, look.palette[i].lab, sizeof look.palette[i].lab);
        figures->palette[i].share = look.palette[i].share;
    }
    return THAW_OK;
}

thaw_status thaw_outcome_conclude(thaw_outcome *work, thaw_print *print, thaw_preview_figures *figures, thaw_error *err)
{
    thaw_outcome_account(work, figures);
    thaw_outcome_print(work, print);
    return thaw_outcome_measure(work, print, figures, err);
}
