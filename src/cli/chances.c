/* Sets of chances: `preview --chances`, its parts, and `gather`. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include <thawprint/chances.h>
#include <thawprint/preview.h>

#include "commands.h"
#include "folder.h"
#include "progress.h"
#include "result.h"
#include "screen.h"

/* A set that is run or joined: where, and how it is told. */
typedef struct work {
    const options *given;
    const thaw_scenario *scenario;
    thaw_chances_options set;
    const char *dir;
    progress shown;
} work;

static const char *number(double value, int digits, char *out, size_t size)
{
    if (isnan(value)) {
        snprintf(out, size, "-");
    } else if (isinf(value)) {
        snprintf(out, size, "> rinse");
    } else {
        snprintf(out, size, "%.*f", digits, value);
    }
    return out;
}

static void print_chances(const thaw_chances_figures *f, const char *dir)
{
    char low[32], middle[32], high[32];
    printf("\nChances      %d of %d came through; chance %d is the typical outcome\n", f->n_came_through, f->n, f->typical);
    printf("  %-28s %10s %10s %10s\n", "", "one in ten", "half", "nine in ten");
    printf("  %-28s %10s %10s %10s\n", "", "below", "below", "below");
    for (int i = 0; i < f->n_numbers; i++) {
        const thaw_chance_number *n = &f->numbers[i];
        if (!isnan(n->p50)) {
            printf("  %-28s %10s %10s %10s  %s\n", n->name, number(n->p10, n->digits, low, sizeof low),
                   number(n->p50, n->digits, middle, sizeof middle), number(n->p90, n->digits, high, sizeof high), n->unit);
        }
    }
    printf("\nAlso in %s\n", dir);
    for (int i = 0; i < thaw_chances_file_count(); i++) {
        printf("  %-22s %s\n", thaw_chances_file_name(i), thaw_chances_file_meaning(i));
    }
}

/* The run of the scenario as it stands, with the ranges of the set; then both are written. */
static thaw_status finish(work *w, thaw_error *err)
{
    thaw_preview *preview = NULL;
    thaw_chances *chances = NULL;
    thaw_preview_options asked = {.threads = w->given->threads, .progress = progress_report, .user = &w->shown,
                                  .without_ranges = true, .frames = w->given->frames > 0 ? w->given->frames : 0};
    thaw_status status = thaw_preview_run(w->scenario, &asked, &preview, err);
    if (status == THAW_OK) {
        status = thaw_chances_gather(w->scenario, &w->set, w->dir, &chances, err);
    }
    if (status == THAW_OK && progress_stopped()) {
        status = THAW_ERR_CANCELLED;
    }
    progress_end(&w->shown);
    if (status == THAW_OK) {
        thaw_chances_set_ranges(chances, preview);
        status = thaw_chances_write_with(chances, preview, w->dir, false, err);
    }
    if (status == THAW_OK) {
        status = result_print(w->given, w->scenario, preview, w->dir, err);
    }
    if (status == THAW_OK && !w->given->json && !w->given->quiet) {
        print_chances(thaw_chances_get_figures(chances), w->dir);
    }
    thaw_chances_destroy(chances);
    thaw_preview_destroy(preview);
    return status;
}

static int ending(const work *w, thaw_status status, const thaw_error *err)
{
    if (status == THAW_ERR_CANCELLED) {
        fprintf(stderr, "thawprint: stopped; the chances that are done are kept in %s/members, and the same command goes on\n",
                w->dir);
        return EXIT_STOPPED;
    }
    return status == THAW_OK ? EXIT_DONE : complain(err);
}

int run_chances(const options *given, const thaw_scenario *scenario, const char *dir)
{
    thaw_error err = {0};
    int n_run = 0;
    work w = {.given = given, .scenario = scenario, .dir = dir};
    w.set = (thaw_chances_options){.n = given->chances, .only_luck = given->only_luck, .part = given->part,
                                   .n_parts = given->n_parts, .threads = given->threads, .progress = progress_report,
                                   .user = &w.shown};
    progress_begin(&w.shown, given->quiet);
    thaw_status status = thaw_chances_run(scenario, &w.set, dir, &n_run, &err);
    if (status == THAW_OK && given->n_parts == 0) {
        status = finish(&w, &err);
    }
    progress_end(&w.shown);
    if (status == THAW_OK && given->n_parts > 0) {
        printf("%s: part %d of %d is done, %d chances run now; `thawprint gather` joins the parts\n", dir, given->part,
               given->n_parts, n_run);
    }
    return ending(&w, status, &err);
}

/* Every folder's members into one; the first says what the set is. */
static thaw_status take_all(work *w, thaw_error *err)
{
    int total = 0;
    for (int i = 0; i < w->given->n_operands; i++) {
        int n = 0;
        thaw_status status = thaw_chances_take(w->scenario, &w->set, w->given->operands[i], w->dir, &n, err);
        if (status != THAW_OK) {
            return status;
        }
        if (n == 0) {
            fprintf(stderr, "thawprint: %s: holds no chance of the set that %s begins\n", w->given->operands[i],
                    w->given->operands[0]);
        }
        total += n;
    }
    if (!w->given->quiet) {
        fprintf(stderr, "thawprint: %d chances of %d found\n", total, w->set.n);
    }
    return THAW_OK;
}

int command_gather(const options *given)
{
    thaw_error err = {0};
    thaw_scenario *scenario = NULL;
    char usual[128];
    work w = {.given = given};
    if (given->n_operands < 1) {
        fprintf(stderr, "thawprint: gather wants the folders of the parts\n");
        return EXIT_USAGE;
    }
    if (thaw_chances_open(given->operands[0], &scenario, &w.set, &err) != THAW_OK) {
        return complain(&err);
    }
    snprintf(usual, sizeof usual, "out/%s", thaw_scenario_name(scenario));
    w.scenario = scenario;
    w.dir = given->out_dir ? given->out_dir : usual;
    int result = EXIT_SYSTEM;
    if (folder_try(w.dir)) {
        progress_begin(&w.shown, given->quiet);
        thaw_status status = take_all(&w, &err);
        if (status == THAW_OK) {
            status = finish(&w, &err);
        }
        progress_end(&w.shown);
        result = ending(&w, status, &err);
    }
    thaw_scenario_destroy(scenario);
    return result;
}
