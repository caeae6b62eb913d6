/* The border: checks, the search, and the files. */
#include "thawprint/border.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "api/picture_file.h"
#include "api/scenario_files.h"
#include "base/alloc.h"
#include "base/crew.h"
#include "base/error.h"
#include "base/file.h"
#include "base/quantity.h"
#include "output/border_json.h"
#include "output/fronts_chart.h"
#include "scenario/scenario.h"
#include "study/border.h"
#include "study/climb_set.h"
#include "study/dye_words.h"
#include "study/ice_line.h"
#include "thawprint/chances.h"
#include "thawprint/version.h"

#define LEAST_LINE_M 0.05          /* of cloth under ice, and of cloth that hangs: scenario/section_hang.c */
#define LEAST_PLEAT_CELLS 1.25
#define LEAST_SURE 0.5
#define MOST_SURE 0.95

struct thaw_border {
    thaw_border_figures figures;
    bool hangs_free;
    char title[128], digest[17];
    uint64_t seed;
};

static thaw_status read_quantity(thaw_quantity kind, const char *what, const char *text, double *out, thaw_error *err)
{
    thaw_units *units = NULL;
    char why[200];
    thaw_status status = thaw_units_create(&units, err);
    if (status == THAW_OK && !thaw_quantity_parse(units, kind, text, out, why, sizeof why)) {
        status = thaw_fail(err, THAW_ERR_ARGUMENT, "%s `%.40s`: %s", what, text, why);
    }
    thaw_units_destroy(units);
    return status;
}

thaw_status thaw_border_read_end(const char *text, double *end_m, thaw_error *err)
{
    double value = 0.0;
    thaw_status status = read_quantity(THAW_LENGTH, "end", text, &value, err);
    if (status == THAW_OK && !(value > 0.0 && value <= 10.0)) {
        status = thaw_fail(err, THAW_ERR_ARGUMENT, "end `%.40s`: a height along the cloth is wanted, above 0 cm and up to 10 m", text);
    }
    *end_m = status == THAW_OK ? value : *end_m;
    return status;
}

thaw_status thaw_border_read_sure(const char *text, double *sure, thaw_error *err)
{
    double value = 0.0;
    thaw_status status = read_quantity(THAW_SHARE, "sure", text, &value, err);
    if (status == THAW_OK && !(value >= LEAST_SURE - 1e-9 && value <= MOST_SURE + 1e-9)) {
        status = thaw_fail(err, THAW_ERR_ARGUMENT, "sure `%.40s`: %.0f %% to %.0f %% can be asked for", text, 100.0 * LEAST_SURE,
                           100.0 * MOST_SURE);
    }
    *sure = status == THAW_OK ? value : *sure;
    return status;
}

/* Would the file be right with the ice line there? Painted areas lie in files of their own: then it is taken for right. */
static thaw_status is_right_at(const thaw_scenario *scenario, bool hangs_free, double line_m, bool *is_right, thaw_error *err)
{
    thaw_scenario *moved = thaw_allocate(1, sizeof *moved, err), *read = NULL;
    thaw_error *ignored = thaw_allocate(1, sizeof *ignored, err);
    char *text = NULL;
    thaw_status status = moved && ignored ? THAW_OK : THAW_ERR_MEMORY;
    *is_right = true;
    if (status == THAW_OK && scenario->pictures->n == 0) {
        *moved = *scenario;
        thaw_ice_line_move(&scenario->spec, line_m, hangs_free, &moved->spec);
        status = thaw_scenario_resolved(moved, &text, err);
        if (status == THAW_OK) {
            const thaw_status parsed = thaw_scenario_parse(text, strlen(text), "border.yaml", 0.0, &read, ignored);
            *is_right = parsed == THAW_OK;
            status = parsed == THAW_ERR_MEMORY ? thaw_fail(err, parsed, "%s", ignored->text) : THAW_OK;
        }
    }
    thaw_scenario_destroy(read);
    thaw_text_free(text);
    thaw_release(ignored);
    thaw_release(moved);
    return status;
}

/* The least cloth under ice that hands can fold, and coarse cells too. */
static thaw_status find_lowest(const thaw_scenario *scenario, bool hangs_free, double end_m, double *lowest_m, thaw_error *err)
{
    const thaw_specification *spec = &scenario->spec;
    double pleats = 1.0;
    for (int i = 0; i < spec->n_folds; i++) {
        const thaw_fold *fold = &spec->folds[i];
        pleats *= fold->kind == THAW_FOLD_ACCORDION && fold->along == THAW_ALONG_LENGTH ? fold->pleats : 1;
    }
    *lowest_m = fmax(LEAST_LINE_M, LEAST_PLEAT_CELLS * pleats * thaw_climb_cell_m(spec));
    bool is_right = false;
    thaw_status status = THAW_OK;
    while (status == THAW_OK && *lowest_m <= end_m) {
        status = is_right_at(scenario, hangs_free, *lowest_m, &is_right, err);
        if (is_right) {
            return status;
        }
        *lowest_m += 0.02;
    }
    return status;
}

static thaw_status check(const thaw_scenario *scenario, const thaw_border_options *o, thaw_error *err)
{
    const thaw_specification *spec = &scenario->spec;
    const char *const name = scenario->spec.name;
    if (!spec->hang.is_set) {
        return thaw_fail(err, THAW_ERR_SCENARIO,
                         "%s: no part of the cloth hangs, so no dye climbs; say where it leaves the ice: `hang: { from: 40 cm, up: 10 cm }`",
                         name);
    }
    if (spec->n_dye == 0) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: no dye, so no border", name);
    }
    if (!(o->sure >= LEAST_SURE - 1e-9 && o->sure <= MOST_SURE + 1e-9) || (o->chances != 0 && (o->chances < 4 || o->chances > 1000))) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "a border is sure to 50 %% to 95 %%, from 4 to 1000 runs");
    }
    const double most_m = spec->length_m - LEAST_LINE_M - thaw_climb_cell_m(spec);
    if (!(o->end_m <= most_m)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "end: the dye is to end at %.4g cm, and the cloth is %.4g cm long: at most %.4g cm",
                         100.0 * o->end_m, 100.0 * spec->length_m, 100.0 * most_m);
    }
    return THAW_OK;
}

typedef struct teller {
    const thaw_border_options *options;
} teller;

static bool tell(void *user, const char *phase, double share)
{
    const teller *t = user;
    return t->options->progress(t->options->user, phase, share, 0.0);
}

static void name_fronts(const thaw_scenario *scenario, thaw_border_figures *f)
{
    thaw_outcome work = {.spec = &scenario->spec};
    thaw_outcome_list_dyes(&work);
    snprintf(f->fronts[0].name, sizeof f->fronts[0].name, "all dyes");
    for (int c = 0; c + 1 < f->n_fronts && c < work.dyes.n; c++) {
        thaw_dye_words(&scenario->spec, &work.dyes, c, f->fronts[1 + c].name);
    }
}

static void fill_amounts(const thaw_scenario *scenario, thaw_border_figures *f)
{
    thaw_specification moved;
    thaw_ice_line_move(&scenario->spec, f->line_m, false, &moved);
    for (int z = 0; z < moved.n_ice; z++) {
        f->ice_kg += moved.ice[z].mass_kg;
    }
    for (int z = 0; z < moved.n_dye; z++) {
        f->dye_kg += moved.dye[z].mass_kg;
    }
    f->file_line_m = scenario->spec.hang.from_m;
    f->amount = f->line_m / f->file_line_m;
    f->length_m = scenario->spec.length_m;
}

static thaw_status find(const thaw_scenario *scenario, const thaw_border_options *options, thaw_border *b, thaw_error *err)
{
    teller t = {options};
    thaw_border_plan plan = {.spec = &scenario->spec, .hangs_free = b->hangs_free, .end_m = options->end_m, .sure = options->sure,
                             .n = options->chances > 0 ? options->chances : THAW_BORDER_CHANCES,
                             .progress = options->progress ? tell : NULL, .user = &t};
    thaw_status status = find_lowest(scenario, b->hangs_free, options->end_m, &plan.lowest_m, err);
    if (status == THAW_OK && plan.lowest_m > options->end_m) {
        status = thaw_fail(err, THAW_ERR_ARGUMENT,
                           "end: so little cloth cannot be folded as the file says; an end of %.3g cm or more, or other folds",
                           100.0 * plan.lowest_m);
    }
    if (status == THAW_OK) {
        const int before = thaw_crew_set_threads(options->threads > 0 ? options->threads : thaw_crew_size());
        status = thaw_border_find(&plan, &b->figures, err);
        thaw_crew_set_threads(before);
    }
    if (status == THAW_OK) {
        thaw_specification moved;
        fill_amounts(scenario, &b->figures);
        name_fronts(scenario, &b->figures);
        thaw_ice_line_move(&scenario->spec, b->figures.line_m, b->hangs_free, &moved);
        b->figures.free_end_m = thaw_ice_line_free_end_m(&moved);
    }
    return status;
}

thaw_status thaw_border_run(const thaw_scenario *scenario, const thaw_border_options *options, thaw_border **out,
                            thaw_error *err)
{
    thaw_status status = thaw_scenario_specification(scenario)->garment.n_panels > 0
                             ? thaw_fail(err, THAW_ERR_SCENARIO, "border works on a plain piece of cloth, and this is a garment: "
                                                                 "`preview` tells how far its dye climbs")
                             : check(scenario, options, err);
    thaw_border *b = status == THAW_OK ? thaw_allocate(1, sizeof *b, err) : NULL;
    if (!b) {
        return status == THAW_OK ? THAW_ERR_MEMORY : status;
    }
    b->hangs_free = scenario->origins.hang_down != THAW_FROM_FILE;
    b->seed = thaw_scenario_seed(scenario);
    snprintf(b->title, sizeof b->title, "%s", thaw_scenario_title(scenario));
    thaw_scenario_digest(scenario, b->digest);
    status = find(scenario, options, b, err);
    if (status != THAW_OK) {
        thaw_border_destroy(b);
        return status;
    }
    *out = b;
    return THAW_OK;
}

void thaw_border_destroy(thaw_border *border)
{
    thaw_release(border);
}

const thaw_border_figures *thaw_border_get_figures(const thaw_border *border)
{
    return &border->figures;
}

thaw_status thaw_border_json(const thaw_border *border, char **out, thaw_error *err)
{
    const thaw_border_head head = {border->title, border->digest, thaw_version(), border->seed};
    return thaw_border_text(&border->figures, &head, out, err);
}

static thaw_status add_chart(const thaw_border *b, thaw_batch *batch, thaw_error *err)
{
    const thaw_picture_words words = {b->title, "how far dye gets along the cloth over time", b->digest, b->seed};
    thaw_image image = {0};
    thaw_status status = thaw_fronts_chart(&b->figures, b->title, &image, err);
    if (status == THAW_OK) {
        status = thaw_picture_add(batch, "border.png", &image, &words, err);
    }
    thaw_release(image.rgb);
    return status;
}

/* The scenario with the ice line found. */
static thaw_status add_scenario(const thaw_border *b, const thaw_scenario *scenario, thaw_batch *batch, thaw_error *err)
{
    thaw_scenario *moved = thaw_allocate(1, sizeof *moved, err);
    if (!moved) {
        return THAW_ERR_MEMORY;
    }
    *moved = *scenario; /* its parts stay the other's */
    thaw_ice_line_move(&scenario->spec, b->figures.line_m, b->hangs_free, &moved->spec);
    thaw_status status = thaw_scenario_into_batch(moved, "border.yaml", batch, err);
    thaw_release(moved);
    return status;
}

thaw_status thaw_border_write(const thaw_border *border, const thaw_scenario *scenario, const char *dir, thaw_error *err)
{
    thaw_batch *batch = NULL;
    char *json = NULL;
    thaw_status status = thaw_border_json(border, &json, err);
    if (status == THAW_OK) {
        status = thaw_batch_create(dir, &batch, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, "border.json", json, strlen(json), err);
    }
    if (status == THAW_OK) {
        status = add_chart(border, batch, err);
    }
    if (status == THAW_OK) {
        status = add_scenario(border, scenario, batch, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    thaw_batch_destroy(batch);
    thaw_release(json);
    return status;
}
