/* Supplies: the run or the set behind the times, coarse what-ifs, and the list. */
#include "thawprint/supplies.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "api/chances_set.h"
#include "api/scenario_files.h"
#include "api/supplies_list.h"
#include "base/alloc.h"
#include "base/crew.h"
#include "base/error.h"
#include "base/file.h"
#include "output/supplies_json.h"
#include "scenario/scenario.h"
#include "study/headline.h"
#include "study/shopping.h"
#include "study/timetable.h"
#include "study/trial.h"
#include "thawprint/chances.h"
#include "thawprint/version.h"

struct thaw_supplies {
    thaw_supplies_figures figures;
    char title[128], digest[17];
    uint64_t seed;
    thaw_chances *chances;         /* own: the set behind the times, or NULL */
};

/* Progress of one part told as progress of the whole. */
typedef struct teller {
    const thaw_supplies_options *options;
    double from, to;
} teller;

static bool tell(void *user, const char *phase, double share, double simulated_h)
{
    const teller *t = user;
    return t->options->progress(t->options->user, phase, t->from + (t->to - t->from) * share, simulated_h);
}

static bool tell_what_ifs(void *user, double share)
{
    const teller *t = user;
    return !t->options->progress || tell(user, "what if it were otherwise", share, 0.0);
}

/* The full run, and what the times come from. */
static thaw_status run_preview(const thaw_scenario *scenario, const thaw_supplies_options *options, teller *t,
                               thaw_preview **out, thaw_error *err)
{
    const thaw_preview_options asked = {.threads = options->threads, .progress = options->progress ? tell : NULL, .user = t,
                                        .without_ranges = options->chances > 0};
    return thaw_preview_run(scenario, &asked, out, err);
}

static thaw_status run_chances(const thaw_scenario *scenario, const thaw_supplies_options *options, teller *t,
                               thaw_chances **out, thaw_error *err)
{
    const thaw_chances_options asked = {.n = options->chances, .only_luck = options->only_luck, .threads = options->threads,
                                        .progress = options->progress ? tell : NULL, .user = t};
    int n_run = 0;
    thaw_status status = thaw_chances_run(scenario, &asked, options->dir, &n_run, err);
    return status == THAW_OK ? thaw_chances_gather(scenario, &asked, options->dir, out, err) : status;
}

static thaw_supplies_time from_run(double middle_s, const double range_s[2])
{
    return (thaw_supplies_time){range_s[0], middle_s, range_s[1]};
}

static thaw_supplies_time from_set(const thaw_chances_figures *set, const char *key)
{
    for (int i = 0; i < set->n_numbers; i++) {
        const thaw_chance_number *n = &set->numbers[i];
        if (strcmp(n->key, key) == 0) {
            return (thaw_supplies_time){n->p10 * 3600.0, n->p50 * 3600.0, n->p90 * 3600.0};
        }
    }
    return (thaw_supplies_time){NAN, NAN, NAN};
}

static void set_times(thaw_supplies *s, const thaw_preview_figures *run)
{
    thaw_supplies_figures *f = &s->figures;
    if (s->chances) {
        f->ice_gone = from_set(thaw_chances_get_figures(s->chances), "melt_all_h");
        f->ready = from_set(thaw_chances_get_figures(s->chances), "ready_h");
    } else {
        f->ice_gone = from_run(run->melted ? run->melt_all_s : INFINITY, run->melt_all_range_s);
        f->ready = from_run(run->melted ? run->ready_s : INFINITY, run->ready_range_s);
    }
    if (run->n_dyes == 0) {
        f->ready = (thaw_supplies_time){NAN, NAN, NAN};
    }
    if (run->ice_kg <= 0.0) {
        f->ice_gone = (thaw_supplies_time){0.0, 0.0, 0.0};
    }
}

/* Fold and ice on coarse cells: enough for how much is covered. */
thaw_status thaw_supplies_list(const thaw_scenario *scenario, thaw_supplies_figures *f, thaw_error *err)
{
    thaw_specification *coarse = thaw_allocate(1, sizeof *coarse, err);
    thaw_ice_cover cover;
    if (!coarse) {
        return THAW_ERR_MEMORY;
    }
    if (f->n_packets == 0) {
        f->packets[f->n_packets++] = (thaw_packet){0.010, NAN};
        f->packets[f->n_packets++] = (thaw_packet){0.025, NAN};
    }
    *coarse = *thaw_scenario_specification(scenario);
    coarse->cell_m = thaw_trial_cell_m(coarse);
    thaw_status status = thaw_ice_cover_find(coarse, &cover, err);
    thaw_release(coarse);
    return status == THAW_OK ? thaw_shopping_fill(scenario, &cover, f, err) : status;
}

static thaw_status find_times(const thaw_scenario *scenario, const thaw_supplies_options *options, thaw_supplies *s,
                              thaw_error *err)
{
    const thaw_specification *spec = thaw_scenario_specification(scenario);
    thaw_preview *preview = NULL;
    thaw_what_ifs *what_ifs = thaw_allocate(1, sizeof *what_ifs, err);
    teller set = {options, 0.0, 0.7}, run = {options, options->chances > 0 ? 0.7 : 0.0, 0.85}, ifs = {options, 0.85, 1.0};
    thaw_status status = what_ifs ? THAW_OK : THAW_ERR_MEMORY;
    if (status == THAW_OK && options->chances > 0) {
        status = run_chances(scenario, options, &set, &s->chances, err);
    }
    if (status == THAW_OK) {
        status = run_preview(scenario, options, &run, &preview, err);
    }
    if (status == THAW_OK) {
        const int before = thaw_crew_set_threads(options->threads > 0 ? options->threads : thaw_crew_size());
        status = thaw_what_ifs_run(spec, tell_what_ifs, &ifs, what_ifs, err);
        thaw_crew_set_threads(before);
    }
    if (status == THAW_OK) {
        thaw_preview_figures figures = *thaw_preview_get_figures(preview);
        figures.n_members = s->chances ? thaw_chances_get_figures(s->chances)->n_came_through : figures.n_members;
        set_times(s, &figures);
        thaw_timetable_fill(spec, &figures, what_ifs, &s->figures);
    }
    thaw_release(what_ifs);
    thaw_preview_destroy(preview);
    return status;
}

thaw_status thaw_supplies_run(const thaw_scenario *scenario, const thaw_supplies_options *options, thaw_supplies **out,
                              thaw_error *err)
{
    thaw_supplies *s = thaw_allocate(1, sizeof *s, err);
    if (!s) {
        return THAW_ERR_MEMORY;
    }
    s->figures.start = options->start;
    s->figures.n_packets = options->n_packets;
    memcpy(s->figures.packets, options->packets, sizeof s->figures.packets);
    s->seed = thaw_scenario_seed(scenario);
    snprintf(s->title, sizeof s->title, "%s", thaw_scenario_title(scenario));
    thaw_scenario_digest(scenario, s->digest);
    thaw_status status = thaw_supplies_list(scenario, &s->figures, err);
    if (status == THAW_OK) {
        status = find_times(scenario, options, s, err);
    }
    if (status != THAW_OK) {
        thaw_supplies_destroy(s);
        return status;
    }
    *out = s;
    return THAW_OK;
}

void thaw_supplies_destroy(thaw_supplies *supplies)
{
    if (supplies) {
        thaw_chances_destroy(supplies->chances);
        thaw_release(supplies);
    }
}

const thaw_supplies_figures *thaw_supplies_get_figures(const thaw_supplies *supplies)
{
    return &supplies->figures;
}

thaw_status thaw_supplies_json(const thaw_supplies *supplies, char **out, thaw_error *err)
{
    const thaw_supplies_head head = {supplies->title, supplies->digest, thaw_version(), supplies->seed};
    return thaw_supplies_text(&supplies->figures, &head, out, err);
}

thaw_status thaw_supplies_write(const thaw_supplies *supplies, const thaw_scenario *scenario, const char *dir,
                                thaw_error *err)
{
    thaw_batch *batch = NULL;
    char *json = NULL;
    thaw_status status = thaw_supplies_json(supplies, &json, err);
    if (status == THAW_OK) {
        status = thaw_batch_create(dir, &batch, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, "supplies.json", json, strlen(json), err);
    }
    if (status == THAW_OK) {
        status = thaw_scenario_into_batch(scenario, "supplies.yaml", batch, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    if (status == THAW_OK && supplies->chances) {
        status = thaw_chances_remove_members(supplies->chances, err);
    }
    thaw_batch_destroy(batch);
    thaw_release(json);
    return status;
}
