/* Runs made-up scenarios, each in a process of its own: random_scenarios KIND FIRST N FOLDER
 * KIND valid: each must be accepted or refused in words, a run must end, close its books and give figures that can be;
 * KIND spoilt: the same, but refusals are the rule. What fails is told with its seed and kept as FOLDER/SEED.yaml. */
#define _POSIX_C_SOURCE 200809L

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "generate.h"
#include "scenario/scenario.h"
#include "thawprint/thawprint.h"

#define LONGEST_S    120           /* of processor time; most take a quarter of one */
#define CELLS_MOST   1500.0        /* a spoilt scenario may have become large: then it is only read */
#define LEAVE_MOST_S (4 * 86400.0)
#define BOOKS        1e-6          /* relative: what the tests of the books demand of whole runs is closer */
#define BAD          50            /* exit status of a run in which something does not hold */

static int good = 1;

static void demand(int holds, const char *what, double value)
{
    if (!holds) {
        fprintf(stderr, "    does not hold: %s (%.9g)\n", what, value);
        good = 0;
    }
}

static void demand_share(double value, const char *what)
{
    demand(value >= -1e-12 && value <= 1.0 + 1e-12, what, value);
}

static void demand_amount(double value, const char *what)
{
    demand(isfinite(value) && value >= -1e-15, what, value);
}

/* Not a number only where the pages say so: what ice that stays leaves open, and to wait for where nothing is fixed. */
static void check_times(const thaw_preview_figures *f)
{
    const int has_most = isfinite(f->melt_most_s) && f->melt_most_s >= 0.0;
    const int is_ready = isfinite(f->ready_s) && f->ready_s >= 0.0;
    demand(f->melted ? has_most : has_most || isnan(f->melt_most_s), "the melt time is a time", f->melt_most_s);
    demand(isfinite(f->melt_all_s) && f->melt_all_s >= 0.0, "the melt time of all is a time", f->melt_all_s);
    demand(!f->melted || f->ice_left_kg <= 0.0, "no ice is left where all has melted", f->ice_left_kg);
    demand(f->melted && f->fixed_share > 0.0 ? is_ready : is_ready || isnan(f->ready_s), "the time to leave it is a time",
           f->ready_s);
}

static void check_figures(const thaw_preview_figures *f)
{
    demand(fabs(f->water_error) <= BOOKS, "the book of water closes", f->water_error);
    demand(fabs(f->heat_error) <= BOOKS, "the book of heat closes", f->heat_error);
    demand(fabs(f->soda_error) <= BOOKS, "the book of soda closes", f->soda_error);
    check_times(f);
    demand_amount(f->ice_kg, "ice");
    demand_amount(f->ice_left_kg, "ice left");
    demand(f->ice_left_kg <= f->ice_kg * (1.0 + 1e-9) + 1e-12, "no more ice is left than there was", f->ice_left_kg);
    demand_amount(f->water_start_kg, "water at first");
    demand_amount(f->water_end_kg, "water at the end");
    demand_amount(f->water_tub_kg, "water in the tub");
    demand_amount(f->soda_end_kg, "soda at the end");
    demand_amount(f->free_end_kg, "water from the free end");
    demand_share(f->white_share, "the white share is a share");
    demand_share(f->bleed_share, "the share that bleeds is a share");
    demand_share(f->fineness, "fineness is a share");
    demand(f->dye_kg <= 0.0 || (f->fixed_share >= 0.0 && f->fixed_share <= 1.0 + 1e-9), "the fixed share is a share", f->fixed_share);
    demand(isfinite(f->depth) && f->depth > -5.0 && f->depth < 100.0, "the depth is one", f->depth);
    demand(isfinite(f->unevenness) && f->unevenness >= 0.0, "unevenness is one", f->unevenness);
    for (int d = 0; d < f->n_dyes; d++) {
        const thaw_dye_account *a = &f->dyes[d];
        const double sum = a->fixed_kg + a->rinsed_kg + a->tub_kg + a->ice_kg;
        demand_amount(a->fixed_kg, "dye fixed");
        demand_amount(a->rinsed_kg, "dye rinsed");
        demand_amount(a->tub_kg, "dye in the tub");
        demand_amount(a->ice_kg, "dye on the ice");
        demand(fabs(sum - a->weighed_kg) <= BOOKS * a->weighed_kg, "the book of a dye closes", sum - a->weighed_kg);
    }
}

static int run(const thaw_scenario *scenario, const char *dir)
{
    thaw_preview *preview = NULL;
    thaw_error err = {0};
    const thaw_preview_options options = {.threads = 1, .without_ranges = true};
    thaw_status status = thaw_preview_run(scenario, &options, &preview, &err);
    if (status == THAW_OK) {
        check_figures(thaw_preview_get_figures(preview));
        status = thaw_preview_write(preview, dir, &err);
    }
    if (status != THAW_OK) {
        fprintf(stderr, "    %s: %s\n", thaw_status_text(status), err.text);
    }
    thaw_preview_destroy(preview);
    /* That an area holds no cloth shows only when the cloth is folded. */
    return !good ? BAD : status == THAW_OK ? 0 : status == THAW_ERR_SCENARIO && err.text[0] ? 3 : BAD;
}

/* What the resolved scenario says is what it was read from. */
static void check_resolved(const thaw_scenario *scenario)
{
    char *first = NULL, *second = NULL;
    thaw_scenario *again = NULL;
    thaw_error err = {0};
    demand(thaw_scenario_resolved(scenario, &first, &err) == THAW_OK, "it can be written", 0);
    demand(first && thaw_scenario_parse(first, strlen(first), "again.yaml", 0.0, &again, &err) == THAW_OK, "what is written can be read", 0);
    demand(again && thaw_scenario_resolved(again, &second, &err) == THAW_OK && strcmp(first, second) == 0, "read again it is the same", 0);
    thaw_scenario_destroy(again);
    thaw_text_free(first);
    thaw_text_free(second);
}

static int child(const char *text, size_t n, const char *dir, int tell)
{
    thaw_scenario *scenario = NULL;
    thaw_error err = {0};
    int result = 3;
    setrlimit(RLIMIT_CPU, &(struct rlimit){LONGEST_S, LONGEST_S});
    const thaw_status status = thaw_scenario_parse(text, n, "made-up.yaml", 0.0, &scenario, &err);
    if (status == THAW_OK) {
        const thaw_specification *spec = &scenario->spec;
        check_resolved(scenario);
        const int small = spec->width_m * spec->length_m < CELLS_MOST * spec->cell_m * spec->cell_m && spec->leave_s < LEAVE_MOST_S;
        result = small ? run(scenario, dir) : (good ? 4 : BAD);
    } else {
        demand(status == THAW_ERR_SCENARIO && err.text[0] != '\0', "a refusal has its reason", status);
        result = good ? 3 : BAD;
        if (tell) {
            fprintf(stderr, "    refused: %s\n", err.text);
        }
    }
    thaw_scenario_destroy(scenario);
    return result;
}

static void keep(const char *dir, const char *text, size_t n)
{
    char path[4096];
    snprintf(path, sizeof path, "%s.yaml", dir);
    FILE *file = fopen(path, "wb");
    if (file) {
        fwrite(text, 1, n, file);
        fclose(file);
    }
}

int main(int argc, char **argv)
{
    static char text[GENERATED_MOST];
    if (argc != 5) {
        return 2;
    }
    const int spoilt = strcmp(argv[1], "spoilt") == 0, n = atoi(argv[3]);
    const unsigned long first = strtoul(argv[2], NULL, 10);
    int n_run = 0, n_refused = 0, n_read = 0, n_bad = 0;
    for (unsigned long seed = first; seed < first + (unsigned long)n; seed++) {
        char dir[4000];
        int status = 0;
        size_t length = 0;
        snprintf(dir, sizeof dir, "%s/%lu", argv[4], seed);
        if (spoilt) {
            length = generate_spoilt(seed, text);
        } else {
            generate(seed, text);
            length = strlen(text);
        }
        fflush(NULL);
        const pid_t pid = fork();
        if (pid == 0) {
            exit(child(text, length, dir, !spoilt)); /* not _exit: a sanitizer looks for leaks then */
        }
        if (pid < 0 || waitpid(pid, &status, 0) != pid) {
            return 2;
        }
        const int code = WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status);
        n_run += code == 0;
        n_refused += code == 3;
        n_read += code == 4;
        if (code != 0 && code != 3 && code != 4) {
            n_bad++;
            keep(dir, text, length);
            fprintf(stderr, "seed %lu: %s %d\n", seed, code > 1000 ? "signal" : "exit status", code > 1000 ? code - 1000 : code);
        } else if (code == 3 && !spoilt) {
            fprintf(stderr, "seed %lu: refused\n", seed);
        }
    }
    printf("%s: %d scenarios from seed %lu: %d run, %d refused, %d only read, %d bad\n", argv[1], n, first, n_run, n_refused, n_read,
           n_bad);
    if (!spoilt && n_run * 10 < n * 7) {
        printf("too few of them were run\n");
        return 1;
    }
    return n_bad > 0;
}
