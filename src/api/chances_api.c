/* Sets of chances: run, keep, join. */
#include "thawprint/chances.h"

#include <math.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>

#include "api/chances_result.h"
#include "api/chances_set.h"
#include "api/preview_result.h"
#include "base/alloc.h"
#include "base/crew.h"
#include "base/error.h"
#include "base/file.h"

typedef struct runner {
    const thaw_set_folder *folder;
    const thaw_chances_options *options;
    thaw_set_plan plan;
    int n_todo, *todo;             /* own */
    atomic_int n_done;
    atomic_bool stop;
    atomic_flag failed;            /* the first failure is the one that is told */
    thaw_status status;
    thaw_error error;
} runner;

/* A member that runs; one thread only tells of progress. */
typedef struct piece {
    runner *runner;
    bool may_tell;
} piece;

static bool keep_on(void *user, double share)
{
    const piece *p = user;
    runner *r = p->runner;
    if (p->may_tell && r->options->progress) {
        char phase[64];
        const int done = atomic_load(&r->n_done);
        snprintf(phase, sizeof phase, "chances: %d of %d done", done, r->n_todo);
        if (!r->options->progress(r->options->user, phase, (done + share) / r->n_todo, 0.0)) {
            atomic_store(&r->stop, true);
        }
    }
    return !atomic_load(&r->stop);
}

static void run_one(void *user, int i, bool first)
{
    runner *r = user;
    piece p = {r, first};
    thaw_member member = {0};
    thaw_error err = {0};
    if (atomic_load(&r->stop)) {
        return;
    }
    thaw_status status = thaw_member_run(&r->plan, r->todo[i], keep_on, &p, &member, &err);
    if (status == THAW_OK) {
        status = thaw_set_folder_store(r->folder, r->todo[i], &member, &err);
    }
    thaw_member_release(&member);
    atomic_fetch_add(&r->n_done, 1);
    if (status != THAW_OK && !atomic_flag_test_and_set(&r->failed)) {
        r->status = status;
        r->error = err;
        atomic_store(&r->stop, true);
    }
}

static bool in_part(const thaw_chances_options *o, int m)
{
    return o->n_parts == 0 || m % o->n_parts == o->part - 1;
}

/* Members of the part that are not there yet, into todo[n]. */
static thaw_status list_missing(const thaw_set_folder *folder, const thaw_chances_options *options, int *todo,
                                int *n_todo, thaw_error *err)
{
    *n_todo = 0;
    for (int m = 0; m < options->n; m++) {
        bool found = false;
        thaw_member member = {0};
        if (!in_part(options, m)) {
            continue;
        }
        thaw_status status = thaw_set_folder_load(folder, m, &found, &member, err);
        thaw_member_release(&member);
        if (status != THAW_OK) {
            return status;
        }
        if (!found) {
            todo[(*n_todo)++] = m;
        }
    }
    return THAW_OK;
}

/* Fine cells fill the machine by themselves; coarser ones run side by side. A failure ends the set. */
static thaw_status run_all(runner *r, thaw_error *err)
{
    if (r->plan.spec->detail != THAW_DETAIL_FINE) {
        thaw_crew_run(r->n_todo, run_one, r);
    } else {
        for (int i = 0; i < r->n_todo; i++) {
            run_one(r, i, true);
        }
    }
    return r->status != THAW_OK ? thaw_fail(err, r->status, "%s", r->error.text) : THAW_OK;
}

static thaw_status check_options(const thaw_chances_options *o, thaw_error *err)
{
    if (o->n < 2 || o->n > THAW_CHANCES_MOST || (o->n_parts != 0 && (o->part < 1 || o->part > o->n_parts))) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "a set has 2 to %d chances, and a part is one of its parts",
                         THAW_CHANCES_MOST);
    }
    return THAW_OK;
}

thaw_status thaw_chances_run(const thaw_scenario *scenario, const thaw_chances_options *options, const char *dir,
                             int *n_run, thaw_error *err)
{
    thaw_set_folder folder;
    thaw_status status = check_options(options, err);
    runner r = {.folder = &folder, .options = options, .failed = ATOMIC_FLAG_INIT, .plan = {.spec = thaw_scenario_specification(scenario),
                .n = options->n, .only_luck = options->only_luck}};
    r.plan.cell_m = r.plan.spec->cell_m;
    if (status == THAW_OK) {
        r.todo = thaw_allocate((size_t)options->n, sizeof *r.todo, err);
        status = r.todo ? thaw_set_folder_name(scenario, options, dir, &folder, err) : THAW_ERR_MEMORY;
    }
    if (status == THAW_OK) {
        status = thaw_set_folder_write_plan(&folder, scenario, options, err);
    }
    if (status == THAW_OK) {
        status = list_missing(&folder, options, r.todo, &r.n_todo, err);
    }
    if (status == THAW_OK && r.n_todo > 0) {
        const int before = thaw_crew_set_threads(options->threads > 0 ? options->threads : thaw_crew_size());
        status = run_all(&r, err);
        thaw_crew_set_threads(before);
    }
    thaw_release(r.todo);
    if (status == THAW_OK) {
        *n_run = r.n_todo;
    }
    return status;
}

/* ---- joining ---- */

thaw_status thaw_chances_open(const char *dir, thaw_scenario **scenario, thaw_chances_options *plan, thaw_error *err)
{
    char path[4096 + 32];
    thaw_status status = thaw_set_folder_read_plan(dir, plan, path, err);
    return status == THAW_OK ? thaw_scenario_load(path, scenario, err) : status;
}

thaw_status thaw_chances_take(const thaw_scenario *scenario, const thaw_chances_options *options, const char *from,
                              const char *dir, int *n_taken, thaw_error *err)
{
    thaw_set_folder source, target;
    int n = 0;
    thaw_status status = thaw_set_folder_name(scenario, options, from, &source, err);
    if (status == THAW_OK) {
        status = thaw_set_folder_name(scenario, options, dir, &target, err);
    }
    for (int m = 0; status == THAW_OK && m < options->n; m++) {
        bool found = false;
        thaw_member member = {0};
        status = thaw_set_folder_load(&source, m, &found, &member, err);
        if (status == THAW_OK && found) {
            status = thaw_set_folder_store(&target, m, &member, err);
            n++;
        }
        thaw_member_release(&member);
    }
    if (status == THAW_OK) {
        *n_taken = n;
    }
    return status;
}

static void fill_figures(thaw_chances *c)
{
    thaw_chances_figures *f = &c->figures;
    f->n = c->folder.n;
    f->n_came_through = c->summary.n_came_through;
    f->typical = c->summary.typical + 1;
    f->n_numbers = thaw_headline_count();
    for (int h = 0; h < f->n_numbers; h++) {
        const thaw_headline *line = thaw_headline_at(h);
        const double *q = c->summary.quantiles[h];
        f->numbers[h] = (thaw_chance_number){line->key,  line->name, line->unit, line->digits, q[0] / line->per_unit,
                                             q[1] / line->per_unit, q[2] / line->per_unit};
    }
}

static thaw_status load_all(thaw_chances *c, thaw_error *err)
{
    for (int m = 0; m < c->folder.n; m++) {
        bool found = false;
        thaw_status status = thaw_set_folder_load(&c->folder, m, &found, &c->members[m], err);
        if (status == THAW_OK && !found) {
            status = thaw_fail(err, THAW_ERR_FILE, "%s: chance %d of %d is missing", c->folder.path, m + 1, c->folder.n);
        }
        if (status != THAW_OK) {
            return status;
        }
    }
    return THAW_OK;
}

thaw_status thaw_chances_gather(const thaw_scenario *scenario, const thaw_chances_options *options, const char *dir,
                                thaw_chances **out, thaw_error *err)
{
    thaw_status status = check_options(options, err);
    thaw_chances *c = status == THAW_OK ? thaw_allocate(1, sizeof *c, err) : NULL;
    if (!c) {
        return status == THAW_OK ? THAW_ERR_MEMORY : status;
    }
    status = thaw_set_folder_name(scenario, options, dir, &c->folder, err);
    if (status == THAW_OK) {
        c->members = thaw_allocate((size_t)options->n, sizeof *c->members, err);
        status = c->members ? load_all(c, err) : THAW_ERR_MEMORY;
    }
    if (status == THAW_OK) {
        const thaw_specification *spec = thaw_scenario_specification(scenario);
        thaw_set_colours(spec, c->colours);
        c->seed = spec->seed;
        snprintf(c->title, sizeof c->title, "%s", thaw_scenario_title(scenario));
        thaw_scenario_digest(scenario, c->digest);
        status = thaw_set_summarise(spec, c->members, options->n, &c->summary, err);
    }
    if (status != THAW_OK) {
        thaw_chances_destroy(c);
        return status;
    }
    fill_figures(c);
    *out = c;
    return THAW_OK;
}

void thaw_chances_destroy(thaw_chances *chances)
{
    if (chances) {
        for (int m = 0; chances->members && m < chances->folder.n; m++) {
            thaw_member_release(&chances->members[m]);
        }
        thaw_release(chances->members);
        thaw_set_summary_release(&chances->summary);
        thaw_release(chances);
    }
}

const thaw_chances_figures *thaw_chances_get_figures(const thaw_chances *chances)
{
    return &chances->figures;
}

void thaw_chances_values(const thaw_chances *chances, int h, double *out)
{
    for (int m = 0; m < chances->folder.n; m++) {
        out[m] = chances->members[m].came_through ? chances->members[m].numbers[h] : NAN;
    }
}

thaw_image thaw_chances_picture(const thaw_chances *chances, int member)
{
    const thaw_member *m = &chances->members[member];
    return (thaw_image){m->nx, m->ny, m->cell_m, m->rgb};
}

const char *thaw_chances_title(const thaw_chances *chances)
{
    return chances->title;
}

thaw_status thaw_chances_remove_members(const thaw_chances *chances, thaw_error *err)
{
    return thaw_set_folder_remove(&chances->folder, err);
}

void thaw_chances_set_ranges(const thaw_chances *chances, thaw_preview *preview)
{
    preview->figures.n_members = chances->summary.n_came_through;
    for (int h = 0; h < thaw_headline_count(); h++) {
        const thaw_headline *line = thaw_headline_at(h);
        if (line->range != THAW_HEADLINE_NOWHERE) {
            double *range = (double *)((char *)&preview->figures + line->range);
            range[0] = chances->summary.quantiles[h][0];
            range[1] = chances->summary.quantiles[h][2];
        }
    }
}
