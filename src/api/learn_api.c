/* Recorded pieces -> a kitchen: open the folders, run the lessons, fit, hold out one after the other. */
#include "thawprint/learn.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "api/run_folder.h"
#include "base/alloc.h"
#include "base/crew.h"
#include "base/error.h"
#include "base/file.h"
#include "base/words.h"
#include "output/learn_json.h"
#include "scenario/kitchen.h"
#include "study/kitchen_fit.h"
#include "thawprint/version.h"

#define Z90            1.2815515655446004
#define USUAL_SPREAD   2.0         /* P90 of a cloth that states none: study/unknowns.c */
#define LEAST_ERROR    0.1         /* what the model leaves out does not go away with more pieces: estimate */
#define KITCHEN_TEXT   8192

typedef enum learn_stage { BEFORE, AFTER, HELD_OUT, STAGES } learn_stage;

struct thaw_learnt {
    thaw_learn_figures figures;
    int n;
    thaw_run_folder *folders;      /* own */
    thaw_lesson *lessons;          /* own */
    int n_cloths;
    const char *cloths[THAW_FIT_CLOTHS];
    double prior_cloth[THAW_FIT_CLOTHS];
    thaw_kitchen_fit fit;
    thaw_kitchen kitchen;
};

/* The number of a cloth, which is taken up if it is new; -1 if there are too many. */
static int cloth_number(thaw_learnt *l, const thaw_scenario *scenario)
{
    const char *name = thaw_kitchen_cloth(scenario);
    for (int c = 0; c < l->n_cloths; c++) {
        if (thaw_words_same(name, l->cloths[c])) {
            return c;
        }
    }
    if (l->n_cloths == THAW_FIT_CLOTHS) {
        return -1;
    }
    const thaw_cloth_kind *kind = scenario->shelf->kitchen.plain ? scenario->shelf->kitchen.plain : scenario->spec.cloth;
    const double spread = kind->conductivity_spread > 1.0 ? kind->conductivity_spread : USUAL_SPREAD;
    l->cloths[l->n_cloths] = name;
    l->prior_cloth[l->n_cloths] = log(spread) / Z90;
    return l->n_cloths++;
}

static thaw_status open_piece(thaw_learnt *l, int i, const char *path, thaw_error *err)
{
    thaw_run_folder *folder = &l->folders[i];
    thaw_lesson *lesson = &l->lessons[i];
    thaw_status status = thaw_run_folder_open(path, folder, err);
    if (status != THAW_OK) {
        return status;
    }
    l->n = i + 1;
    if (!folder->has_record) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: nothing is recorded there yet: thawprint record %s --melted '6 h' ...", path, path);
    }
    const thaw_preview_figures *f = &folder->forecast;
    *lesson = (thaw_lesson){.spec = thaw_scenario_specification(folder->scenario),
                            .heat_ln = folder->scenario->spec.heat_ln,
                            .cloth_ln = log(thaw_kitchen_conductivity(folder->scenario)),
                            .forecast_melt_s = f->melted ? f->melt_all_s : (double)NAN,
                            .forecast_climb_m = f->hang_m > 0.0 ? f->climb_m[1] : (double)NAN,
                            .melted_s = 3600.0 * folder->facts.melted_h,
                            .climb_m = 0.01 * folder->facts.climb_cm,
                            .rinsed_s = 3600.0 * folder->facts.rinsed_h,
                            .cloth = cloth_number(l, folder->scenario)};
    if (lesson->cloth < 0) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: more than %d cloths", path, THAW_FIT_CLOTHS);
    }
    return THAW_OK;
}

static bool is_same_folder(const char *a, const char *b)
{
    size_t n = strlen(a), m = strlen(b);
    while (n > 1 && a[n - 1] == '/') {
        n--;
    }
    while (m > 1 && b[m - 1] == '/') {
        m--;
    }
    return n == m && memcmp(a, b, n) == 0;
}

static thaw_status check_twice(const char *const *folders, int i, thaw_error *err)
{
    for (int k = 0; k < i; k++) {
        if (is_same_folder(folders[k], folders[i])) {
            return thaw_fail(err, THAW_ERR_SCENARIO, "%s: is named twice; each piece counts once", folders[i]);
        }
    }
    return THAW_OK;
}

/* Faults of all folders together. */
static thaw_status open_pieces(thaw_learnt *l, const char *const *folders, int n, thaw_error *err)
{
    thaw_error *why = thaw_allocate(1, sizeof *why, err);
    thaw_status status = why ? THAW_OK : THAW_ERR_MEMORY;
    size_t used = 0;
    int tells = 0, opened = 0;
    for (int i = 0; i < n && (status == THAW_OK || status == THAW_ERR_SCENARIO); i++) {
        *why = (thaw_error){0};
        thaw_status one = check_twice(folders, i, why);
        if (one == THAW_OK) {
            one = open_piece(l, opened, folders[i], why);
        }
        if (one == THAW_OK) {
            tells += thaw_lesson_tells_heat(&l->lessons[opened]) || thaw_lesson_tells_cloth(&l->lessons[opened]);
            opened++;
            continue;
        }
        if (l->n > opened) { /* open, but at fault */
            thaw_run_folder_close(&l->folders[opened]);
            l->n = opened;
        }
        status = one;
        if (used + 2 < sizeof err->text) {
            const int more = snprintf(err->text + used, sizeof err->text - used, "%s%s", used ? "\n" : "", why->text);
            used += more > 0 ? (size_t)more : 0;
        }
        err->status = one;
    }
    thaw_release(why);
    if (status == THAW_OK && tells == 0) {
        return thaw_fail(err, THAW_ERR_SCENARIO,
                         "nothing can be learnt from these records: none has --melted where the forecast's ice was gone, nor --climbed where "
                         "cloth hung");
    }
    return status;
}

/* Factors of a fit on a lesson, or none. */
static thaw_lesson_number foretell(const thaw_learnt *l, int i, const thaw_kitchen_fit *fits[STAGES], bool climb)
{
    const thaw_lesson *lesson = &l->lessons[i];
    double at[STAGES];
    for (int s = 0; s < STAGES; s++) {
        const double heat = fits[s] ? fits[s]->heat_ln : 0.0, cloth = fits[s] ? fits[s]->cloth_ln[lesson->cloth] : 0.0;
        at[s] = climb ? 100.0 * thaw_lesson_climb_m(lesson, heat, cloth) : thaw_lesson_melt_s(lesson, heat, cloth) / 3600.0;
    }
    return (thaw_lesson_number){climb ? 100.0 * lesson->climb_m : lesson->melted_s / 3600.0, at[BEFORE], at[AFTER], at[HELD_OUT]};
}

/* Mean distance in the logarithm, as a share: 0.1 is a tenth too much or too little. 1 cm is added to climbs, as the fit does. */
static void add_error(const thaw_lesson_number *n, double plus, double sums[STAGES])
{
    const double values[STAGES] = {n->before, n->after, n->held_out};
    for (int s = 0; s < STAGES; s++) {
        sums[s] += fabs(log((values[s] + plus) / (n->fact + plus)));
    }
}

static thaw_learnt_factor factor_of(double ln, double error)
{
    return (thaw_learnt_factor){exp(ln), exp(ln - Z90 * error), exp(ln + Z90 * error)};
}

static void fill_pieces(thaw_learnt *l, double melt_sums[STAGES], double climb_sums[STAGES])
{
    thaw_learn_figures *f = &l->figures;
    const thaw_lesson_number unknown = {NAN, NAN, NAN, NAN};
    for (int i = 0; i < l->n; i++) {
        thaw_kitchen_fit others;
        thaw_kitchen_fit_find(l->lessons, l->n, i, l->n_cloths, l->prior_cloth, &others);
        const thaw_kitchen_fit *fits[STAGES] = {[BEFORE] = NULL, [AFTER] = &l->fit, [HELD_OUT] = &others};
        f->pieces[i].title = thaw_scenario_title(l->folders[i].scenario);
        f->pieces[i].cloth = l->cloths[l->lessons[i].cloth];
        f->pieces[i].melt_h = f->pieces[i].climb_cm = unknown;
        if (thaw_lesson_tells_heat(&l->lessons[i])) {
            f->pieces[i].melt_h = foretell(l, i, fits, false);
            add_error(&f->pieces[i].melt_h, 0.0, melt_sums);
            f->n_melts++;
        }
        if (thaw_lesson_tells_cloth(&l->lessons[i])) {
            f->pieces[i].climb_cm = foretell(l, i, fits, true);
            add_error(&f->pieces[i].climb_cm, 1.0, climb_sums);
            f->n_climbs++;
            f->cloths[l->lessons[i].cloth].n_climbs++;
        }
    }
}

static void fill_figures(thaw_learnt *l)
{
    thaw_learn_figures *f = &l->figures;
    double melt_sums[STAGES] = {0.0}, climb_sums[STAGES] = {0.0};
    f->n = l->n;
    f->heat = factor_of(l->fit.heat_ln, l->fit.heat_error);
    f->n_cloths = l->n_cloths;
    for (int c = 0; c < l->n_cloths; c++) {
        f->cloths[c].name = l->cloths[c];
        f->cloths[c].conductivity = factor_of(l->fit.cloth_ln[c], l->fit.cloth_error[c]);
        f->cloths[c].spread = exp(Z90 * fmin(l->prior_cloth[c], hypot(l->fit.cloth_error[c], LEAST_ERROR)));
    }
    fill_pieces(l, melt_sums, climb_sums);
    for (int s = 0; s < STAGES; s++) {
        f->melt_error[s] = f->n_melts ? expm1(melt_sums[s] / f->n_melts) : (double)NAN;
        f->climb_error[s] = f->n_climbs ? expm1(climb_sums[s] / f->n_climbs) : (double)NAN;
    }
    f->can_hold_out = l->n > 1;
    f->is_better = f->can_hold_out && melt_sums[HELD_OUT] + climb_sums[HELD_OUT] < melt_sums[BEFORE] + climb_sums[BEFORE];
}

/* The kitchen that is written: cloths that no piece tells of are left out. */
static void fill_kitchen(thaw_learnt *l)
{
    l->kitchen = (thaw_kitchen){.is_set = true, .heat = exp(l->fit.heat_ln)};
    for (int c = 0; c < l->n_cloths; c++) {
        if (l->figures.cloths[c].n_climbs > 0) {
            const int i = l->kitchen.n_cloths++;
            snprintf(l->kitchen.cloths[i].name, sizeof l->kitchen.cloths[i].name, "%s", l->cloths[c]);
            l->kitchen.cloths[i].conductivity = exp(l->fit.cloth_ln[c]);
            l->kitchen.cloths[i].spread = l->figures.cloths[c].spread;
        }
    }
}

#define FIRST_SHARE 0.9            /* of the runs: the cross; then each piece once more */

typedef struct teller {
    const thaw_learn_options *options;
    double from, share;            /* of the whole, of this part */
} teller;

static bool tell(void *user, double share)
{
    const teller *t = user;
    return !t->options || !t->options->progress || t->options->progress(t->options->user, "what if the kitchen were another",
                                                                             t->from + t->share * share, 0.0);
}

static thaw_status learn(thaw_learnt *l, const thaw_learn_options *options, thaw_error *err)
{
    teller t = {options, 0.0, FIRST_SHARE};
    const int before = thaw_crew_set_threads(options && options->threads > 0 ? options->threads : thaw_crew_size());
    thaw_status status = thaw_lessons_run(l->lessons, l->n, tell, &t, err);
    if (status == THAW_OK) {
        thaw_kitchen_fit_find(l->lessons, l->n, -1, l->n_cloths, l->prior_cloth, &l->fit);
        t = (teller){options, FIRST_SHARE, 1.0 - FIRST_SHARE};
        status = thaw_lessons_refine(l->lessons, l->n, l->fit.heat_ln, l->fit.cloth_ln, tell, &t, err);
    }
    thaw_crew_set_threads(before);
    if (status == THAW_OK) {
        thaw_kitchen_fit_find(l->lessons, l->n, -1, l->n_cloths, l->prior_cloth, &l->fit);
        fill_figures(l);
        fill_kitchen(l);
    }
    if (status == THAW_OK && l->figures.n_melts + l->figures.n_climbs == 0) {
        status = thaw_fail(err, THAW_ERR_SCENARIO,
                           "nothing can be learnt from these records: in coarse runs of them the ice outlasts the rinse");
    }
    return status;
}

thaw_status thaw_learn_run(const char *const *folders, int n, const thaw_learn_options *options, thaw_learnt **out, thaw_error *err)
{
    if (n < 1 || n > THAW_LEARN_MOST) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "learn takes 1 to %d folders of recorded runs", THAW_LEARN_MOST);
    }
    thaw_learnt *l = thaw_allocate(1, sizeof *l, err);
    thaw_status status = l ? THAW_OK : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        l->folders = thaw_allocate((size_t)n, sizeof *l->folders, err);
        l->lessons = thaw_allocate((size_t)n, sizeof *l->lessons, err);
        status = l->folders && l->lessons ? open_pieces(l, folders, n, err) : THAW_ERR_MEMORY;
    }
    if (status == THAW_OK) {
        status = learn(l, options, err);
    }
    if (status == THAW_OK) {
        *out = l;
    } else {
        thaw_learnt_destroy(l);
    }
    return status;
}

void thaw_learnt_destroy(thaw_learnt *learnt)
{
    if (learnt) {
        for (int i = 0; i < learnt->n; i++) {
            thaw_run_folder_close(&learnt->folders[i]);
        }
        thaw_release(learnt->folders);
        thaw_release(learnt->lessons);
        thaw_release(learnt);
    }
}

const thaw_learn_figures *thaw_learnt_get_figures(const thaw_learnt *learnt)
{
    return &learnt->figures;
}

thaw_status thaw_learnt_json(const thaw_learnt *learnt, char **out, thaw_error *err)
{
    return thaw_learn_json_text(&learnt->figures, thaw_version(), out, err);
}

static void write_kitchen(const thaw_learnt *l, thaw_writer *w)
{
    const thaw_learn_figures *f = &l->figures;
    thaw_writer_add(w, "# Learnt by thawprint %s from %d recorded piece%s: %d melt times, %d climbs.\n", THAW_VERSION, f->n,
                    f->n == 1 ? "" : "s", f->n_melts, f->n_climbs);
    if (f->can_hold_out && !f->is_better) {
        thaw_writer_add(w, "# CAUTION: a piece held out is foretold no better with what the others tell than without.\n");
    }
    thaw_writer_add(w, "# Applied only where it is named: thawprint preview --kitchen FILE, or copied into a scenario.\n");
    thaw_kitchen_write_all(w, &l->kitchen);
}

thaw_status thaw_learnt_write(const thaw_learnt *learnt, const char *dir, thaw_error *err)
{
    thaw_batch *batch = NULL;
    char *json = NULL, text[KITCHEN_TEXT];
    thaw_writer w = {text, sizeof text, 0};
    thaw_status status = thaw_learnt_json(learnt, &json, err);
    write_kitchen(learnt, &w);
    if (status == THAW_OK && w.used >= w.size) {
        status = thaw_fail(err, THAW_ERR_MEMORY, "the file of the kitchen is too long");
    }
    if (status == THAW_OK) {
        status = thaw_batch_create(dir, &batch, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, "kitchen.yaml", text, w.used, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, "learn.json", json, strlen(json), err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    thaw_batch_destroy(batch);
    thaw_release(json);
    return status;
}
