/* The chain of one preview: fold, lay, simulate, look; then the files. */
#include "thawprint/preview.h"

#include <stdio.h>
#include <string.h>

#ifdef _OPENMP
#include <omp.h>
#endif

#include "api/picture_file.h"
#include "api/preview_film.h"
#include "api/preview_result.h"
#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "look/bundle_view.h"
#include "look/dressed.h"
#include "look/fold_map.h"
#include "look/measure.h"
#include "output/figures_json.h"
#include "output/grid.h"
#include "output/melt_curve.h"
#include "output/sheet.h"
#include "study/doubt.h"
#include "study/dye_words.h"
#include "study/frames.h"
#include "study/outcome.h"
#include "thawprint/version.h"

#define BESIDE_CELLS 150000.0

static const struct {
    const char *name, *meaning;
} files[] = {
    {"cloth-dry.png", "the cloth after rinsing and drying"},
    {"cloth-wet.png", "the cloth before the rinse, wet, with all dye on it"},
    {"bundle.png", "the bundle from above at the end, still wet"},
    {"fold-map.png", "where each part of the cloth lies in the bundle"},
    {"melt-curve.csv", "ice left, melt and cloth temperature over time"},
    {"figures.json", "every figure, for scripts"},
    {"scenario.yaml", "the scenario with every value filled in; run it again for the same result"},
};
#define N_FILES ((int)(sizeof files / sizeof *files))

const char *thaw_preview_panels_name(void)
{
    return "panels.png";
}

const char *thaw_preview_panels_meaning(void)
{
    return "every panel of the garment, dry and wet";
}

int thaw_preview_file_count(void)
{
    return N_FILES;
}

const char *thaw_preview_file_name(int i)
{
    return i >= 0 && i < N_FILES ? files[i].name : NULL;
}

const char *thaw_preview_file_meaning(int i)
{
    return i >= 0 && i < N_FILES ? files[i].meaning : NULL;
}

/* Progress for the engine, told in words to the caller. */
typedef struct teller {
    const thaw_preview_options *options;
} teller;

static bool tell(const teller *t, const char *phase, double share, double time_s)
{
    return !t->options || !t->options->progress ||
           t->options->progress(t->options->user, phase, share, time_s / 3600.0);
}

static bool tell_engine(void *user, double share, double time_s)
{
    return tell(user, "melting and dyeing", 0.03 + 0.77 * share, time_s);
}

static thaw_status stopped(thaw_error *err)
{
    return thaw_fail(err, THAW_ERR_CANCELLED, "stopped");
}

/* A row of dry panels, and one of wet ones below. */
typedef struct panel_sheet {
    thaw_image images[2 * THAW_MAX_PANELS];
    char lines[2 * THAW_MAX_PANELS][160], headings[2 * THAW_MAX_PANELS][48];
    thaw_panel panels[2 * THAW_MAX_PANELS];
} panel_sheet;

/* Half a turn. */
static void turn_round(thaw_image *image)
{
    const size_t n = (size_t)image->width * (size_t)image->height;
    for (size_t p = 0; p < n / 2; p++) {
        unsigned char kept[3];
        memcpy(kept, image->rgb + 3 * p, 3);
        memcpy(image->rgb + 3 * p, image->rgb + 3 * (n - 1 - p), 3);
        memcpy(image->rgb + 3 * (n - 1 - p), kept, 3);
    }
}

static thaw_status fill_sheet(const thaw_outcome *w, const thaw_preview *p, panel_sheet *s, thaw_error *err)
{
    const thaw_garment *g = &w->spec->garment;
    thaw_status status = THAW_OK;
    for (int i = 0; status == THAW_OK && i < 2 * g->n_panels; i++) {
        const bool wet = i >= g->n_panels;
        const int panel = i % g->n_panels;
        const thaw_panel_account *f = &p->figures.panels[panel];
        status = thaw_look_panel(&p->images[wet ? THAW_PICTURE_WET : THAW_PICTURE_DRY], &w->bundle, g, panel,
                                 &s->images[i], err);
        if (status == THAW_OK && g->bottom_first) {
            turn_round(&s->images[i]);
        }
        snprintf(s->headings[i], sizeof s->headings[i], "%s, %s", g->panels[panel].name, wet ? "wet" : "dry");
        snprintf(s->lines[i], sizeof s->lines[i], "%.0f g of cloth, %.0f mg of dye fixed, %.0f %% white", 1e3 * f->cloth_kg,
                 1e6 * f->fixed_kg, 100.0 * f->white_share);
        s->panels[i] = (thaw_panel){s->headings[i], &s->images[i], wet ? NULL : s->lines[i]};
    }
    return status;
}

static thaw_status draw_panels(const thaw_outcome *w, thaw_preview *p, thaw_error *err)
{
    const int n = w->spec->garment.n_panels;
    panel_sheet *s = thaw_allocate(1, sizeof *s, err);
    if (!s) {
        return THAW_ERR_MEMORY;
    }
    thaw_status status = fill_sheet(w, p, s, err);
    if (status == THAW_OK) {
        const thaw_grid grid = {.title = p->title, .n_panels = 2 * n, .n_columns = n, .panels = s->panels,
                                .note = "Each panel top up, seen from above as the garment lies. What lies with its right side down, as "
                                        "the back does, is seen through the front: worn, left and right change places."};
        status = thaw_grid_image(&grid, &p->panels, err);
    }
    for (int i = 0; i < 2 * n; i++) {
        thaw_release(s->images[i].rgb);
    }
    thaw_release(s);
    return status;
}

static thaw_status draw(const thaw_outcome *w, const thaw_print *print, thaw_preview *p, thaw_error *err)
{
    const int scale = w->spec->detail == THAW_DETAIL_DRAFT ? 4 : (w->spec->detail == THAW_DETAIL_NORMAL ? 2 : 1);
    thaw_image unfolded = {0}, plan = {0};
    thaw_legend legend;
    const thaw_garment *garment = &w->spec->garment;
    thaw_status status = thaw_look_dressed(print, &w->bundle, garment, false, scale, &p->images[THAW_PICTURE_DRY], err);
    if (status == THAW_OK) {
        status = thaw_look_dressed(print, &w->bundle, garment, true, scale, &p->images[THAW_PICTURE_WET], err);
    }
    if (status == THAW_OK && garment->n_panels > 0) {
        status = draw_panels(w, p, err);
    }
    if (status == THAW_OK) {
        status = thaw_look_bundle(print, &w->bundle, true, 0.001, &p->images[THAW_PICTURE_BUNDLE], err);
    }
    if (status == THAW_OK) {
        status = thaw_look_fold_map(&w->bundle, &unfolded, &plan, err);
    }
    if (status == THAW_OK) {
        thaw_look_fold_legend(&w->bundle, &legend);
        status = thaw_sheet_fold_map(&unfolded, &plan, &legend, p->title, &p->images[THAW_PICTURE_FOLD], err);
    }
    thaw_release(unfolded.rgb);
    thaw_release(plan.rgb);
    return status;
}

static void keep_names(const thaw_outcome *w, thaw_preview *p)
{
    for (int d = 0; d < p->figures.n_dyes; d++) {
        thaw_dye_account *dye = &p->figures.dyes[d];
        thaw_dye_words(w->spec, &w->dyes, d, p->dye_names[d]);
        snprintf(p->dye_generics[d], sizeof p->dye_generics[d], "%s", dye->generic);
        dye->name = p->dye_names[d];
        dye->generic = p->dye_generics[d];
    }
}

/* A run from folding to figures. */
typedef struct full_run {
    teller teller;
    thaw_frames *frames;           /* NULL: none are wanted */
    thaw_outcome *work;
    thaw_preview *preview;
    thaw_print print;              /* filled by it */
} full_run;

static thaw_status make_full_run(void *user, thaw_error *err)
{
    full_run *f = user;
    thaw_preview_figures *figures = &f->preview->figures;
    if (!tell(&f->teller, "folding", 0.0, 0.0)) {
        return stopped(err);
    }
    thaw_status status = thaw_outcome_prepare(f->work, err);
    if (status == THAW_OK && !tell(&f->teller, "laying the ice", 0.02, 0.0)) {
        return stopped(err);
    }
    if (status == THAW_OK && f->frames) {
        thaw_frames_watch(f->frames, f->teller.options->frames, f->work);
    }
    if (status == THAW_OK) {
        status = thaw_engine_run(&f->work->engine, tell_engine, &f->teller, err);
    }
    if (status == THAW_OK) {
        status = thaw_outcome_conclude(f->work, &f->print, figures, err);
        keep_names(f->work, f->preview);
    }
    return status;
}

static bool tell_doubt(void *user, double share)
{
    const full_run *f = user;
    return tell(&f->teller, "how sure is that", 0.8 + 0.15 * share, f->work->spec->leave_s);
}

/* Few cells leave threads idle: then the runs behind the ranges go beside the full one. */
static thaw_status find_figures(full_run *f, const thaw_preview_options *options, thaw_error *err)
{
    const thaw_specification *spec = f->work->spec;
    thaw_preview_figures *figures = &f->preview->figures;
    const bool beside = thaw_specification_area_m2(spec) < BESIDE_CELLS * spec->cell_m * spec->cell_m;
    const bool without = options && options->without_ranges;
    thaw_status status = without || !beside ? make_full_run(f, err) : THAW_OK;
    if (status == THAW_OK && without) {
        thaw_doubt_leave_out(figures);
    } else if (status == THAW_OK) {
        status = thaw_doubt_find(spec, beside ? make_full_run : NULL, tell_doubt, f, figures, err);
    }
    return status;
}

static thaw_status simulate(thaw_outcome *w, const thaw_preview_options *options, thaw_preview *p, thaw_error *err)
{
    thaw_frames *frames = options && options->frames > 0 ? thaw_allocate(1, sizeof *frames, err) : NULL;
    full_run f = {{options}, frames, w, p, {0}};
    thaw_status status = options && options->frames > 0 && !frames ? THAW_ERR_MEMORY : find_figures(&f, options, err);
    if (status == THAW_OK && !tell(&f.teller, "drawing", 0.95, w->spec->leave_s)) {
        return stopped(err);
    }
    if (status == THAW_OK) {
        status = draw(w, &f.print, p, err);
    }
    if (status == THAW_OK) {
        const thaw_curve *c = &w->engine.curve;
        status = thaw_melt_curve_text(c->t_s, c->ice_kg, c->melt_kg_s, c->cloth_k, c->n, &p->curve, err);
    }
    if (status == THAW_OK && frames) {
        status = thaw_preview_film_keep(frames, p, err);
    }
    if (frames) {
        thaw_frames_release(frames);
        thaw_release(frames);
    }
    return status;
}

/* The resolved scenario names painted areas by files that lie beside it. */
static thaw_status keep_pictures(const thaw_scenario *scenario, thaw_preview *p, thaw_error *err)
{
    for (int i = 0; i < scenario->pictures->n; i++) {
        const thaw_picture_file *file = &scenario->pictures->files[i];
        char *bytes = thaw_allocate(file->n, 1, err);
        if (!bytes) {
            return THAW_ERR_MEMORY;
        }
        memcpy(bytes, file->bytes, file->n);
        strcpy(p->pictures[i].name, file->name);
        p->pictures[i].bytes = bytes;
        p->pictures[i].n = file->n;
        p->n_pictures = i + 1;
    }
    return THAW_OK;
}

thaw_status thaw_preview_run(const thaw_scenario *scenario, const thaw_preview_options *options, thaw_preview **out,
                             thaw_error *err)
{
    thaw_outcome *work = thaw_allocate(1, sizeof *work, err);
    thaw_preview *p = thaw_allocate(1, sizeof *p, err);
    thaw_status status = work && p ? THAW_OK : THAW_ERR_MEMORY;
#ifdef _OPENMP
    int threads_before = omp_get_max_threads();
    if (options && options->threads > 0) {
        omp_set_num_threads(options->threads);
    }
#endif
    if (status == THAW_OK) {
        work->spec = thaw_scenario_specification(scenario);
        p->seed = work->spec->seed;
        thaw_scenario_digest(scenario, p->digest);
        strncpy(p->title, thaw_scenario_title(scenario), sizeof p->title - 1);
        status = thaw_scenario_resolved(scenario, &p->resolved, err);
    }
    if (status == THAW_OK) {
        status = keep_pictures(scenario, p, err);
    }
    if (status == THAW_OK) {
        status = simulate(work, options, p, err);
    }
#ifdef _OPENMP
    omp_set_num_threads(threads_before);
#endif
    thaw_outcome_clear(work);
    thaw_release(work);
    if (status == THAW_OK) {
        *out = p;
    } else {
        thaw_preview_destroy(p);
    }
    return status;
}

void thaw_preview_destroy(thaw_preview *preview)
{
    if (preview) {
        for (int i = 0; i < THAW_PICTURES; i++) {
            thaw_release(preview->images[i].rgb);
        }
        thaw_release(preview->panels.rgb);
        thaw_release(preview->curve);
        thaw_release(preview->resolved);
        for (int i = 0; i < preview->n_pictures; i++) {
            thaw_release(preview->pictures[i].bytes);
        }
        for (int i = 0; i < preview->n_frames; i++) {
            thaw_release(preview->frames[i].picture.bytes);
        }
        thaw_release(preview->strip.rgb);
        thaw_release(preview);
    }
}

const thaw_preview_figures *thaw_preview_get_figures(const thaw_preview *preview)
{
    return &preview->figures;
}

thaw_status thaw_preview_json(const thaw_preview *preview, char **out, thaw_error *err)
{
    thaw_figures_head head = {.title = preview->title, .digest = preview->digest, .version = thaw_version(),
                              .seed = preview->seed};
    return thaw_figures_json(&preview->figures, &head, out, err);
}

thaw_status thaw_preview_add(const thaw_preview *preview, thaw_batch *batch, thaw_error *err)
{
    char *json = NULL;
    thaw_status status = thaw_preview_json(preview, &json, err);
    for (int i = 0; status == THAW_OK && i < THAW_PICTURES; i++) {
        const thaw_picture_words words = {preview->title, files[i].meaning, preview->digest, preview->seed};
        status = thaw_picture_add(batch, files[i].name, &preview->images[i], &words, err);
    }
    if (status == THAW_OK && preview->panels.rgb) {
        const thaw_picture_words words = {preview->title, thaw_preview_panels_meaning(), preview->digest, preview->seed};
        status = thaw_picture_add(batch, thaw_preview_panels_name(), &preview->panels, &words, err);
    }
    const char *texts[] = {preview->curve, json, preview->resolved};
    for (int i = 0; status == THAW_OK && i < N_FILES - THAW_PICTURES; i++) {
        status = thaw_batch_add(batch, files[THAW_PICTURES + i].name, texts[i], strlen(texts[i]), err);
    }
    for (int i = 0; status == THAW_OK && i < preview->n_pictures; i++) {
        status = thaw_batch_add(batch, preview->pictures[i].name, preview->pictures[i].bytes, preview->pictures[i].n, err);
    }
    if (status == THAW_OK && preview->n_frames > 0) {
        status = thaw_preview_film_add(preview, batch, err);
    }
    thaw_release(json);
    return status;
}

thaw_status thaw_preview_write(const thaw_preview *preview, const char *dir, thaw_error *err)
{
    thaw_batch *batch = NULL;
    thaw_status status = thaw_batch_create(dir, &batch, err);
    if (status == THAW_OK) {
        status = thaw_preview_add(preview, batch, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    thaw_batch_destroy(batch);
    return status;
}
