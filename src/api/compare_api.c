/* Sets of chances side by side. */
#include "thawprint/compare.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "api/chances_set.h"
#include "api/picture_file.h"
#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "output/compare_json.h"
#include "output/grid.h"
#include "study/headline.h"
#include "study/paired.h"
#include "thawprint/version.h"

struct thaw_comparison {
    int n, n_columns, n_numbers;
    char labels[THAW_COMPARE_MOST][160];
    char digests[THAW_COMPARE_MOST][17];
    uint64_t seed;                         /* of the first */
    char dirs[THAW_COMPARE_MOST][4096];
    thaw_chances *sets[THAW_COMPARE_MOST]; /* own */
    thaw_compared_number *numbers;         /* own: n rows of n_numbers */
};

/* Progress of one set told as progress of all. */
typedef struct teller {
    const thaw_chances_options *outer;
    const thaw_comparison *comparison;
    int at;
} teller;

static bool tell(void *user, const char *phase, double share, double simulated_h)
{
    const teller *t = user;
    char text[128];
    (void)phase;
    snprintf(text, sizeof text, "comparing: %d of %d, %.40s", t->at + 1, t->comparison->n, t->comparison->labels[t->at]);
    return t->outer->progress(t->outer->user, text, (t->at + share) / t->comparison->n, simulated_h);
}

static thaw_status run_sets(thaw_comparison *c, const thaw_compared *all, const thaw_compare_options *options,
                            thaw_error *err)
{
    for (int i = 0; i < c->n; i++) {
        teller t = {&options->set, c, i};
        thaw_chances_options set = options->set;
        int n_run = 0;
        if (set.progress) {
            set.progress = tell;
            set.user = &t;
        }
        thaw_status status = thaw_chances_run(all[i].scenario, &set, c->dirs[i], &n_run, err);
        if (status == THAW_OK) {
            status = thaw_chances_gather(all[i].scenario, &set, c->dirs[i], &c->sets[i], err);
        }
        if (status != THAW_OK) {
            return status;
        }
    }
    return THAW_OK;
}

/* All numbers against the first set's, then judged together. */
static thaw_status find_differences(thaw_comparison *c, int n_members, thaw_error *err)
{
    const int n_pairs = (c->n - 1) * c->n_numbers;
    thaw_paired *pairs = thaw_allocate((size_t)(n_pairs > 0 ? n_pairs : 1), sizeof *pairs, err);
    double *a = thaw_allocate((size_t)n_members, sizeof *a, err), *b = thaw_allocate(2 * (size_t)n_members, sizeof *b, err);
    thaw_status status = pairs && a && b ? THAW_OK : THAW_ERR_MEMORY;
    for (int i = 1; status == THAW_OK && i < c->n; i++) {
        for (int h = 0; h < c->n_numbers; h++) {
            thaw_chances_values(c->sets[0], h, a);
            thaw_chances_values(c->sets[i], h, b);
            pairs[(i - 1) * c->n_numbers + h] = thaw_paired_find(a, b, n_members, thaw_headline_at(h)->spread, b + n_members);
        }
    }
    if (status == THAW_OK) {
        thaw_paired_judge(pairs, n_pairs);
    }
    for (int i = 0; status == THAW_OK && i < c->n; i++) {
        for (int h = 0; h < c->n_numbers; h++) {
            const thaw_chance_number *n = &thaw_chances_get_figures(c->sets[i])->numbers[h];
            const thaw_paired *p = i > 0 ? &pairs[(i - 1) * c->n_numbers + h] : NULL;
            c->numbers[i * c->n_numbers + h] = (thaw_compared_number){
                n->p10, n->p50, n->p90, p ? p->difference / thaw_headline_at(h)->per_unit : NAN, p ? p->p : 1.0,
                p && p->is_clear};
        }
    }
    thaw_release(b);
    thaw_release(a);
    thaw_release(pairs);
    return status;
}

thaw_status thaw_compare_run(const thaw_compared *all, int n, const thaw_compare_options *options, const char *dir,
                             thaw_comparison **out, thaw_error *err)
{
    if (n < 1 || n > THAW_COMPARE_MOST) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "1 to %d can be compared", THAW_COMPARE_MOST);
    }
    thaw_comparison *c = thaw_allocate(1, sizeof *c, err);
    if (!c) {
        return THAW_ERR_MEMORY;
    }
    c->n = n;
    c->n_columns = options->n_columns;
    c->seed = thaw_scenario_seed(all[0].scenario);
    c->n_numbers = thaw_headline_count();
    for (int i = 0; i < n; i++) {
        snprintf(c->labels[i], sizeof c->labels[i], "%s", all[i].label);
        snprintf(c->dirs[i], sizeof c->dirs[i], "%s/%d", dir, i + 1);
        thaw_scenario_digest(all[i].scenario, c->digests[i]);
    }
    c->numbers = thaw_allocate((size_t)(n * c->n_numbers), sizeof *c->numbers, err);
    thaw_status status = c->numbers ? run_sets(c, all, options, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        status = find_differences(c, options->set.n, err);
    }
    if (status != THAW_OK) {
        thaw_comparison_destroy(c);
        return status;
    }
    *out = c;
    return THAW_OK;
}

void thaw_comparison_destroy(thaw_comparison *comparison)
{
    if (comparison) {
        for (int i = 0; i < comparison->n; i++) {
            thaw_chances_destroy(comparison->sets[i]);
        }
        thaw_release(comparison->numbers);
        thaw_release(comparison);
    }
}

int thaw_comparison_count(const thaw_comparison *comparison)
{
    return comparison->n;
}

const char *thaw_comparison_label(const thaw_comparison *comparison, int i)
{
    return comparison->labels[i];
}

const thaw_chances_figures *thaw_comparison_figures(const thaw_comparison *comparison, int i)
{
    return thaw_chances_get_figures(comparison->sets[i]);
}

thaw_compared_number thaw_comparison_number(const thaw_comparison *comparison, int i, int number)
{
    return comparison->numbers[i * comparison->n_numbers + number];
}

const char *thaw_comparison_say(const thaw_comparison *comparison, int i, int number, char *out, size_t size)
{
    const thaw_chance_number *n = &thaw_comparison_figures(comparison, i)->numbers[number];
    const double median = comparison->numbers[i * comparison->n_numbers + number].p50;
    if (isfinite(median)) {
        snprintf(out, size, "%.*f %s", n->digits, median, n->unit);
    } else {
        snprintf(out, size, isnan(median) ? "-" : "after the rinse");
    }
    return out;
}

/* ---- the sheet ---- */

/* The numbers under a picture; clear differences are marked by a sign and by words, not by colour. */
static void write_lines(const thaw_comparison *c, int i, char *out, size_t size)
{
    const thaw_chances_figures *f = thaw_comparison_figures(c, i);
    size_t n = 0;
    out[0] = '\0';
    for (int h = 0; h < c->n_numbers; h++) {
        const thaw_compared_number *k = &c->numbers[i * c->n_numbers + h];
        char value[40];
        if (!isnan(k->p50) && n < size) {
            n += (size_t)snprintf(out + n, size - n, "%s%s %s%s", n ? "\n" : "", f->numbers[h].name,
                                  thaw_comparison_say(c, i, h, value, sizeof value),
                                  !k->is_clear ? "" : k->difference > 0.0 ? "  \xe2\x96\xb2 clearly more"
                                                                          : "  \xe2\x96\xbc clearly less");
        }
    }
}

#define LINES 1024

typedef struct sheet_text {
    thaw_panel panels[THAW_COMPARE_MOST];
    thaw_image images[THAW_COMPARE_MOST];
    char lines[THAW_COMPARE_MOST][LINES], note[512];
} sheet_text;

static void fill_sheet(const thaw_comparison *c, sheet_text *s, thaw_grid *grid)
{
    const int member = thaw_chances_get_figures(c->sets[0])->typical - 1;
    for (int i = 0; i < c->n; i++) {
        s->images[i] = thaw_chances_picture(c->sets[i], member);
        write_lines(c, i, s->lines[i], sizeof s->lines[i]);
        s->panels[i] = (thaw_panel){c->labels[i], s->images[i].rgb ? &s->images[i] : NULL, s->lines[i]};
    }
    snprintf(s->note, sizeof s->note,
             "Dry cloth, chance %d of %d, which is the typical one of the first; the same luck for all. Numbers are medians of all "
             "chances. Marked where a difference to the first is more than chance (5 %% for all together).",
             member + 1, thaw_chances_get_figures(c->sets[0])->n);
    *grid = (thaw_grid){.title = thaw_chances_title(c->sets[0]), .note = s->note, .n_panels = c->n,
                        .n_columns = c->n_columns > 0 ? c->n_columns : c->n < 4 ? c->n : c->n == 4 ? 2 : 3, .panels = s->panels};
}

static thaw_status add_png(const thaw_comparison *c, const thaw_grid *grid, thaw_batch *batch, thaw_error *err)
{
    thaw_image image = {0};
    const thaw_picture_words words = {grid->title, grid->note, c->digests[0], c->seed};
    thaw_status status = thaw_grid_image(grid, &image, err);
    if (status == THAW_OK) {
        status = thaw_picture_add(batch, "compare.png", &image, &words, err);
    }
    thaw_release(image.rgb);
    return status;
}

static thaw_status add_sheets(const thaw_comparison *c, thaw_batch *batch, thaw_error *err)
{
    thaw_grid grid;
    unsigned char *page = NULL;
    char *json = NULL;
    size_t n = 0;
    sheet_text *s = thaw_allocate(1, sizeof *s, err);
    if (!s) {
        return THAW_ERR_MEMORY;
    }
    fill_sheet(c, s, &grid);
    thaw_status status = add_png(c, &grid, batch, err);
    if (status == THAW_OK) {
        status = thaw_grid_pdf(&grid, &page, &n, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, "compare.pdf", page, n, err);
    }
    if (status == THAW_OK) {
        status = thaw_comparison_json(c, &json, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, "compare.json", json, strlen(json), err);
    }
    thaw_release(json);
    thaw_release(page);
    thaw_release(s);
    return status;
}

thaw_status thaw_comparison_json(const thaw_comparison *comparison, char **out, thaw_error *err)
{
    const char *labels[THAW_COMPARE_MOST], *digests[THAW_COMPARE_MOST];
    const thaw_chances_figures *figures[THAW_COMPARE_MOST];
    for (int i = 0; i < comparison->n; i++) {
        labels[i] = comparison->labels[i];
        digests[i] = comparison->digests[i];
        figures[i] = thaw_comparison_figures(comparison, i);
    }
    const thaw_compare_table table = {THAW_VERSION, comparison->n, labels, digests, figures, comparison->numbers};
    return thaw_compare_json(&table, out, err);
}

thaw_status thaw_comparison_write(const thaw_comparison *comparison, const char *dir, thaw_error *err)
{
    thaw_batch *batch = NULL;
    thaw_status status = thaw_batch_create(dir, &batch, err);
    if (status == THAW_OK) {
        status = add_sheets(comparison, batch, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    thaw_batch_destroy(batch);
    for (int i = 0; status == THAW_OK && i < comparison->n; i++) {
        status = thaw_chances_remove_members(comparison->sets[i], err);
    }
    return status;
}
