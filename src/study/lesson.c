#include "study/lesson.h"

#include <math.h>
#include <stdatomic.h>

#include "base/alloc.h"
#include "base/crew.h"
#include "base/error.h"
#include "study/outcome.h"

#define CELLS        5000.0        /* of a run at most, about: only ratios are taken from it */
#define FINEST_M     0.006
#define COARSEST_M   0.016
#define LONGER       2.6           /* runs of the melt alone go on so many times the time that was recorded */
#define LONGEST_S    (14.0 * 86400.0)
#define LEAST_CLIMB_M 0.01         /* added before logarithms are taken: a climb may be 0 */
#define MOST_RUNS    (2 * (THAW_LESSON_HEATS + 1) + THAW_LESSON_CLOTHS)

static const double HEATS_LN[THAW_LESSON_HEATS] = {-0.5, 0.0, 0.5};
static const double CLOTHS_LN[THAW_LESSON_CLOTHS] = {-2.0, -1.0, 0.0, 1.0, 2.0};

double thaw_lesson_heat_ln(int node)
{
    return HEATS_LN[node];
}

double thaw_lesson_cloth_ln(int node)
{
    return CLOTHS_LN[node];
}

bool thaw_lesson_tells_heat(const thaw_lesson *l)
{
    return l->melted_s > 0.0 && l->forecast_melt_s > 0.0;
}

bool thaw_lesson_tells_cloth(const thaw_lesson *l)
{
    return l->climb_m >= 0.0 && l->forecast_climb_m >= 0.0;
}

/* A run that is to be made, and where its one number goes: when the last ice is gone, or how far dye climbs. */
typedef struct task {
    thaw_lesson *lesson;
    double heat_ln, cloth_ln, leave_s;
    bool melts;                    /* the melt alone: without dye, and no further than the last piece */
    double *out, *also;            /* also: where the same run counts too; may be NULL */
} task;

typedef struct set {
    task *tasks;                   /* own */
    thaw_error *errors;            /* own, one a task */
    thaw_status *statuses;         /* own */
    int n;
    thaw_lesson_progress progress;
    void *user;
    atomic_int n_done;
    atomic_bool stop;
} set;

/* A run, while it runs. */
typedef struct watch {
    const set *set;
    const thaw_engine *engine;
    bool melts;
} watch;

static bool keep_on(void *user, double share, double time_s)
{
    const watch *w = user;
    (void)share;
    (void)time_s;
    return !atomic_load(&w->set->stop) && !(w->melts && w->engine->melt_all_s >= 0.0);
}

static double mean_climb(const thaw_preview_figures *f)
{
    return (f->climb_m[0] + f->climb_m[1] + f->climb_m[2]) / 3.0; /* less bound to whole cells than the middle alone */
}

/* The piece in another kitchen, on coarse cells. */
static void move_kitchen(const task *t, thaw_specification *spec, thaw_cloth_kind *cloth)
{
    *spec = *t->lesson->spec;
    *cloth = *spec->cloth;
    cloth->conductivity_m_s *= exp(t->cloth_ln - t->lesson->cloth_ln);
    spec->cloth = cloth;
    spec->heat_ln = t->heat_ln;
    spec->leave_s = t->leave_s;
    spec->cell_m = fmax(spec->cell_m, fmin(COARSEST_M, fmax(FINEST_M, sqrt(spec->width_m * spec->length_m / CELLS))));
    spec->n_dye = t->melts ? 0 : spec->n_dye; /* dye does not melt ice */
}

static thaw_status run_task(set *s, const task *t, thaw_error *err)
{
    thaw_outcome *work = thaw_allocate(1, sizeof *work, err);
    thaw_specification *spec = work ? thaw_allocate(1, sizeof *spec, err) : NULL;
    thaw_preview_figures *figures = spec ? thaw_allocate(1, sizeof *figures, err) : NULL;
    thaw_cloth_kind cloth;
    thaw_print print;
    thaw_status status = figures ? THAW_OK : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        move_kitchen(t, spec, &cloth);
        work->spec = spec;
        work->is_rough = true;
        status = thaw_outcome_prepare(work, err);
    }
    if (status == THAW_OK) {
        watch w = {s, &work->engine, t->melts};
        status = thaw_engine_run(&work->engine, keep_on, &w, err);
        if (t->melts && status == THAW_ERR_CANCELLED && work->engine.melt_all_s >= 0.0) {
            status = THAW_OK;
        }
    }
    if (status == THAW_OK && t->melts) {
        *t->out = work->engine.melt_all_s >= 0.0 ? work->engine.melt_all_s : (double)NAN;
    } else if (status == THAW_OK) {
        status = thaw_outcome_conclude(work, &print, figures, err);
        *t->out = status == THAW_OK ? mean_climb(figures) : (double)NAN;
    }
    if (t->also) {
        *t->also = *t->out;
    }
    thaw_outcome_clear(work);
    thaw_release(work);
    thaw_release(spec);
    thaw_release(figures);
    return status;
}

static bool ends_set(thaw_status status)
{
    return status != THAW_OK && status != THAW_ERR_UNPHYSICAL;
}

static void take_task(void *user, int i, bool first)
{
    set *s = user;
    s->statuses[i] = atomic_load(&s->stop) ? THAW_ERR_CANCELLED : run_task(s, &s->tasks[i], &s->errors[i]);
    const int done = atomic_fetch_add(&s->n_done, 1) + 1;
    if (ends_set(s->statuses[i]) || (first && s->progress && !s->progress(s->user, (double)done / s->n))) {
        atomic_store(&s->stop, true);
    }
}

/* Until when: the rinse as it was, since climb goes on; the melt until the ice will be gone. */
static double leave_for(const thaw_lesson *l, bool melts)
{
    return melts               ? fmin(LONGEST_S, LONGER * fmax(l->melted_s, l->forecast_melt_s))
           : l->rinsed_s > 0.0 ? l->rinsed_s
                               : l->spec->leave_s;
}

static void add_task(set *s, const task *t)
{
    s->tasks[s->n++] = *t;
}

/* The arm of heat, and the piece as it was forecast, which is often one of its nodes. */
static void plan_heat(set *s, thaw_lesson *l, bool melts, double *nodes, double *as_forecast)
{
    const double leave_s = leave_for(l, melts), asked_s = melts ? leave_s : l->spec->leave_s;
    const bool told = melts ? thaw_lesson_tells_heat(l) : thaw_lesson_tells_cloth(l);
    bool has_forecast = false;
    *as_forecast = NAN;
    for (int h = 0; h < THAW_LESSON_HEATS; h++) {
        nodes[h] = NAN;
        const bool same = HEATS_LN[h] == l->heat_ln && leave_s == asked_s;
        if (told) {
            add_task(s, &(task){l, HEATS_LN[h], l->cloth_ln, leave_s, melts, &nodes[h], same ? as_forecast : NULL});
            has_forecast = has_forecast || same;
        }
    }
    if (told && !has_forecast) {
        add_task(s, &(task){l, l->heat_ln, l->cloth_ln, asked_s, melts, as_forecast, NULL});
    }
}

static void plan(set *s, thaw_lesson *l)
{
    plan_heat(s, l, true, l->melt_at_heat, &l->melt_as_forecast_s);
    plan_heat(s, l, false, l->climb_at_heat, &l->climb_as_forecast_m);
    for (int c = 0; c < THAW_LESSON_CLOTHS; c++) {
        l->climb_at_cloth[c] = NAN;
        if (thaw_lesson_tells_cloth(l)) {
            add_task(s, &(task){l, l->heat_ln, CLOTHS_LN[c], leave_for(l, false), false, &l->climb_at_cloth[c], NULL});
        }
    }
}

/* A fact is of use only where all runs tell of it. */
static void drop_untold(thaw_lesson *l)
{
    bool melts = isfinite(l->melt_as_forecast_s), climbs = isfinite(l->climb_as_forecast_m);
    for (int h = 0; h < THAW_LESSON_HEATS; h++) {
        melts = melts && isfinite(l->melt_at_heat[h]);
        climbs = climbs && isfinite(l->climb_at_heat[h]);
    }
    for (int c = 0; c < THAW_LESSON_CLOTHS; c++) {
        climbs = climbs && isfinite(l->climb_at_cloth[c]);
    }
    l->melted_s = melts ? l->melted_s : (double)NAN;
    l->climb_m = climbs ? l->climb_m : (double)NAN;
}

static thaw_status open_set(int n, thaw_lesson_progress progress, void *user, set *s, thaw_error *err)
{
    const size_t most = (size_t)n * MOST_RUNS;
    *s = (set){.progress = progress, .user = user};
    s->tasks = thaw_allocate(most, sizeof *s->tasks, err);
    s->errors = thaw_allocate(most, sizeof *s->errors, err);
    s->statuses = thaw_allocate(most, sizeof *s->statuses, err);
    return s->tasks && s->errors && s->statuses ? THAW_OK : THAW_ERR_MEMORY;
}

static void close_set(set *s)
{
    thaw_release(s->tasks);
    thaw_release(s->errors);
    thaw_release(s->statuses);
}

static thaw_status run_set(set *s, thaw_error *err)
{
    thaw_crew_run(s->n, take_task, s);
    for (int i = 0; i < s->n; i++) {
        if (ends_set(s->statuses[i]) && s->statuses[i] != THAW_ERR_CANCELLED) {
            return thaw_fail(err, s->statuses[i], "%s", s->errors[i].text);
        }
    }
    return atomic_load(&s->stop) ? thaw_fail(err, THAW_ERR_CANCELLED, "stopped") : THAW_OK;
}

thaw_status thaw_lessons_run(thaw_lesson *lessons, int n, thaw_lesson_progress progress, void *user, thaw_error *err)
{
    set s;
    thaw_status status = open_set(n, progress, user, &s, err);
    for (int i = 0; status == THAW_OK && i < n; i++) {
        plan(&s, &lessons[i]);
        lessons[i].there_heat_ln = lessons[i].heat_ln;
        lessons[i].there_cloth_ln = lessons[i].cloth_ln;
        lessons[i].melt_off = lessons[i].climb_off = 0.0;
    }
    if (status == THAW_OK) {
        status = run_set(&s, err);
    }
    for (int i = 0; status == THAW_OK && i < n; i++) {
        drop_untold(&lessons[i]);
    }
    close_set(&s);
    return status;
}

/* Straight between nodes in the logarithm, and on beyond them along the last piece. */
static double between(const double *nodes, const double *values, int n, double x)
{
    int i = 0;
    while (i < n - 2 && x > nodes[i + 1]) {
        i++;
    }
    return values[i] + (values[i + 1] - values[i]) * (x - nodes[i]) / (nodes[i + 1] - nodes[i]);
}

/* A parabola through three nodes: melt time is nearly a power of the exchange of heat. */
static double parabola(const double *x, const double *y, double at)
{
    return y[0] * (at - x[1]) * (at - x[2]) / ((x[0] - x[1]) * (x[0] - x[2])) +
           y[1] * (at - x[0]) * (at - x[2]) / ((x[1] - x[0]) * (x[1] - x[2])) +
           y[2] * (at - x[0]) * (at - x[1]) / ((x[2] - x[0]) * (x[2] - x[1]));
}

static double climb_log(double climb_m)
{
    return log(climb_m + LEAST_CLIMB_M);
}

/* How much of what was found off there counts here: nothing where the forecast stands, all from there on. */
static double weight_of(const thaw_lesson *l, double heat_ln, double cloth_ln)
{
    const double whole = hypot(l->there_heat_ln - l->heat_ln, l->there_cloth_ln - l->cloth_ln);
    const double way = hypot(heat_ln - l->heat_ln, cloth_ln - l->cloth_ln);
    return whole > 0.0 ? fmin(1.0, way / whole) : 0.0;
}

double thaw_lesson_melt_s(const thaw_lesson *l, double heat_ln, double cloth_ln)
{
    double logs[THAW_LESSON_HEATS];
    for (int h = 0; h < THAW_LESSON_HEATS; h++) {
        logs[h] = log(l->melt_at_heat[h]);
    }
    /* How fast the cloth leads water hardly shows in when the last ice goes; what does is in what was found off. */
    const double off = weight_of(l, heat_ln, cloth_ln) * l->melt_off;
    return l->forecast_melt_s * exp(parabola(HEATS_LN, logs, heat_ln) - log(l->melt_as_forecast_s) + off);
}

double thaw_lesson_climb_m(const thaw_lesson *l, double heat_ln, double cloth_ln)
{
    double heats[THAW_LESSON_HEATS], cloths[THAW_LESSON_CLOTHS];
    for (int h = 0; h < THAW_LESSON_HEATS; h++) {
        heats[h] = climb_log(l->climb_at_heat[h]);
    }
    for (int c = 0; c < THAW_LESSON_CLOTHS; c++) {
        cloths[c] = climb_log(l->climb_at_cloth[c]);
    }
    /* The two arms of the cross meet in the kitchen of the forecast. */
    const double by_heat = between(HEATS_LN, heats, THAW_LESSON_HEATS, heat_ln) - between(HEATS_LN, heats, THAW_LESSON_HEATS, l->heat_ln);
    const double by_cloth = between(CLOTHS_LN, cloths, THAW_LESSON_CLOTHS, cloth_ln) - climb_log(l->climb_as_forecast_m);
    const double off = weight_of(l, heat_ln, cloth_ln) * l->climb_off;
    return fmax(0.0, exp(climb_log(l->forecast_climb_m) + by_heat + by_cloth + off) - LEAST_CLIMB_M);
}

/* What the runs at a place say against what the cross says there. */
static void take_off(thaw_lesson *l, double heat_ln, double cloth_ln, double melt_s, double climb_m)
{
    l->melt_off = l->climb_off = 0.0;
    if (thaw_lesson_tells_heat(l) && isfinite(melt_s)) {
        l->melt_off = log(l->forecast_melt_s * melt_s / l->melt_as_forecast_s / thaw_lesson_melt_s(l, heat_ln, cloth_ln));
    }
    if (thaw_lesson_tells_cloth(l) && isfinite(climb_m)) {
        const double told = climb_log(l->forecast_climb_m) + climb_log(climb_m) - climb_log(l->climb_as_forecast_m);
        l->climb_off = told - climb_log(thaw_lesson_climb_m(l, heat_ln, cloth_ln));
    }
    l->there_heat_ln = heat_ln;
    l->there_cloth_ln = cloth_ln;
}

thaw_status thaw_lessons_refine(thaw_lesson *lessons, int n, double heat_ln, const double *cloth_ln, thaw_lesson_progress progress,
                                void *user, thaw_error *err)
{
    set s;
    double (*found)[2] = thaw_allocate((size_t)n, sizeof *found, err);
    thaw_status status = open_set(n, progress, user, &s, err);
    status = found ? status : THAW_ERR_MEMORY;
    for (int i = 0; status == THAW_OK && i < n; i++) {
        thaw_lesson *l = &lessons[i];
        found[i][0] = found[i][1] = NAN;
        if (thaw_lesson_tells_heat(l)) {
            add_task(&s, &(task){l, heat_ln, cloth_ln[l->cloth], leave_for(l, true), true, &found[i][0], NULL});
        }
        if (thaw_lesson_tells_cloth(l)) {
            add_task(&s, &(task){l, heat_ln, cloth_ln[l->cloth], leave_for(l, false), false, &found[i][1], NULL});
        }
    }
    if (status == THAW_OK) {
        status = run_set(&s, err);
    }
    for (int i = 0; status == THAW_OK && i < n; i++) {
        take_off(&lessons[i], heat_ln, cloth_ln[lessons[i].cloth], found[i][0], found[i][1]);
    }
    close_set(&s);
    thaw_release(found);
    return status;
}
