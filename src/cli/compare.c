/* thawprint compare: scenarios, or one scenario with a thing varied, side by side. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <thawprint/compare.h>

#include "commands.h"
#include "folder.h"
#include "progress.h"
#include "report.h"

#define USUAL_CHANCES 8
#define COLUMNS 4                  /* of the table on a terminal */
#define MOST_VALUES 12

/* One `--vary key=v1,v2,...`, taken apart. */
typedef struct varied {
    char text[512];                /* cut up in place */
    const char *key, *values[MOST_VALUES];
    int n;
} varied;

typedef struct line_up {
    int n, n_columns;
    thaw_scenario *scenarios[THAW_COMPARE_MOST]; /* own */
    char labels[THAW_COMPARE_MOST][160];
} line_up;

static char *trimmed(char *text)
{
    text += strspn(text, " ");
    for (size_t n = strlen(text); n > 0 && text[n - 1] == ' '; n--) {
        text[n - 1] = '\0';
    }
    return text;
}

static bool take_apart(const char *text, varied *out)
{
    *out = (varied){0};
    snprintf(out->text, sizeof out->text, "%s", text);
    char *equals = strchr(out->text, '=');
    bool is_good = equals && strlen(text) < sizeof out->text;
    if (is_good) {
        *equals = '\0';
        out->key = trimmed(out->text);
        for (char *at = equals + 1, *next; at && out->n < MOST_VALUES; at = next) {
            next = strchr(at, ',');
            if (next) {
                *next++ = '\0';
            }
            out->values[out->n] = trimmed(at);
            is_good = is_good && *out->values[out->n] != '\0' && !(next && out->n + 1 == MOST_VALUES);
            out->n++;
        }
    }
    if (!is_good || out->n < 2 || *out->key == '\0') {
        fprintf(stderr, "thawprint: --vary `%.60s`: KEY=VALUE,VALUE,... is wanted, 2 to %d values, as ice.kind=crushed,cubes\n",
                text, MOST_VALUES);
        return false;
    }
    return true;
}

static thaw_status load_one(const options *given, const char *path, const thaw_override *overrides, int n, line_up *out,
                            thaw_error *err)
{
    thaw_scenario *scenario = NULL;
    thaw_status status = thaw_scenario_load_kitchen(path, given->cloths, given->dyes, given->kitchen, overrides, n, &scenario, err);
    if (status == THAW_OK && given->detail) {
        status = thaw_scenario_set_detail(scenario, given->detail, err);
    }
    if (status == THAW_OK) {
        out->scenarios[out->n++] = scenario;
    } else {
        thaw_scenario_destroy(scenario);
    }
    return status;
}

static int load_varied(const options *given, line_up *out)
{
    varied keys[2] = {{.n = 0}};
    thaw_error err = {0};
    for (int k = 0; k < given->n_vary; k++) {
        if (!take_apart(given->vary[k], &keys[k])) {
            return EXIT_USAGE;
        }
    }
    const int n_first = keys[0].n, n_second = given->n_vary > 1 ? keys[1].n : 1;
    if (n_first * n_second > THAW_COMPARE_MOST) {
        fprintf(stderr, "thawprint: --vary: %d combinations, at most %d\n", n_first * n_second, THAW_COMPARE_MOST);
        return EXIT_USAGE;
    }
    out->n_columns = given->n_vary > 1 ? n_second : 0;
    for (int i = 0; i < n_first * n_second; i++) {
        const thaw_override o[2] = {{keys[0].key, keys[0].values[i / n_second]},
                                    {n_second > 1 ? keys[1].key : NULL, n_second > 1 ? keys[1].values[i % n_second] : NULL}};
        snprintf(out->labels[out->n], sizeof out->labels[0], n_second > 1 ? "%s = %s, %s = %s" : "%s = %s", o[0].path, o[0].value,
                 o[1].path ? o[1].path : "", o[1].value ? o[1].value : "");
        if (load_one(given, given->operands[0], o, given->n_vary, out, &err) != THAW_OK) {
            fprintf(stderr, "thawprint: with %s:\n", out->labels[i]);
            return complain(&err);
        }
    }
    return EXIT_DONE;
}

static int load_files(const options *given, line_up *out)
{
    thaw_error err = {0};
    if (given->n_operands > THAW_COMPARE_MOST) {
        fprintf(stderr, "thawprint: at most %d scenarios can be compared\n", THAW_COMPARE_MOST);
        return EXIT_USAGE;
    }
    for (int i = 0; i < given->n_operands; i++) {
        if (load_one(given, given->operands[i], NULL, 0, out, &err) != THAW_OK) {
            return complain(&err);
        }
        snprintf(out->labels[i], sizeof out->labels[i], "%s", thaw_scenario_title(out->scenarios[i]));
        for (int j = 0; j < i; j++) {
            if (strcmp(out->labels[j], out->labels[i]) == 0) {
                snprintf(out->labels[i], sizeof out->labels[i], "%.100s (%d)", thaw_scenario_title(out->scenarios[i]), i + 1);
            }
        }
    }
    return EXIT_DONE;
}

/* The same dice for all: the first scenario's, or the one asked for. A seed that is itself varied stays. */
static void share_seed(const options *given, line_up *all)
{
    for (int k = 0; k < given->n_vary; k++) {
        if (strncmp(given->vary[k], "seed", 4) == 0) {
            return;
        }
    }
    for (int i = 0; i < all->n; i++) {
        thaw_scenario_set_seed(all->scenarios[i], given->seed_given ? given->seed : thaw_scenario_seed(all->scenarios[0]));
    }
}

static void print_cell(const thaw_comparison *c, int i, int number)
{
    char text[40];
    const thaw_compared_number k = thaw_comparison_number(c, i, number);
    printf(" %14s%-2s", thaw_comparison_say(c, i, number, text, sizeof text), k.is_clear ? (k.difference > 0.0 ? " +" : " -") : "");
}

static void print_table(const thaw_comparison *c)
{
    const thaw_chances_figures *f = thaw_comparison_figures(c, 0);
    const int n = thaw_comparison_count(c);
    for (int i = 0; i < n; i++) {
        printf("  (%d) %s\n", i + 1, thaw_comparison_label(c, i));
    }
    for (int first = 0; first < n; first += COLUMNS) {
        const int end = first + COLUMNS < n ? first + COLUMNS : n;
        printf("\n%-29s", "");
        for (int i = first; i < end; i++) {
            printf(" %13s%d)%s", "(", i + 1, i + 1 < 10 ? " " : "");
        }
        printf("\n");
        for (int h = 0; h < f->n_numbers; h++) {
            const thaw_compared_number head = thaw_comparison_number(c, 0, h);
            if (isnan(head.p50)) {
                continue;
            }
            printf("%-29s", f->numbers[h].name);
            for (int i = first; i < end; i++) {
                print_cell(c, i, h);
            }
            printf("\n");
        }
    }
}

/* What is clear and what is not, in words, over all that were compared. */
static void print_verdict(const thaw_comparison *c)
{
    const thaw_chances_figures *f = thaw_comparison_figures(c, 0);
    int n_clear = 0;
    printf("\nMedians of %d chances each, the same luck for all. + and -: clearly more or less than (1);\n"
           "without a sign chance alone may explain it (5 %% for all numbers together).\n",
           f->n);
    for (int h = 0; h < f->n_numbers; h++) {
        for (int i = 1; i < thaw_comparison_count(c); i++) {
            n_clear += thaw_comparison_number(c, i, h).is_clear;
        }
    }
    if (n_clear == 0) {
        printf("No clear difference.\n");
    }
}

/* What was learnt is never applied silently. */
static void print_kitchens(const line_up *all)
{
    char text[200];
    for (int i = 0; i < all->n; i++) {
        if (thaw_scenario_kitchen(all->scenarios[i], text, sizeof text) > 0) {
            printf("Kitchen applied to (%d): %s\n", i + 1, text);
        }
    }
}

static thaw_status json_of(const void *comparison, char **out, thaw_error *err)
{
    return thaw_comparison_json(comparison, out, err);
}

static int report(const options *given, const line_up *all, const thaw_comparison *c, const char *dir)
{
    int result;
    if (!report_short(given, json_of, c, dir, &result)) {
        print_kitchens(all);
        print_table(c);
        print_verdict(c);
        printf("\nWritten to %s\n  compare.png, compare.pdf (A4 or Letter), compare.json\n", dir);
    }
    return result;
}

static int run(const options *given, const line_up *all, const char *dir)
{
    thaw_error err = {0};
    thaw_comparison *c = NULL;
    progress shown;
    thaw_compared compared[THAW_COMPARE_MOST];
    for (int i = 0; i < all->n; i++) {
        compared[i] = (thaw_compared){all->labels[i], all->scenarios[i]};
    }
    progress_begin(&shown, given->quiet);
    const thaw_compare_options asked = {
        .set = {.n = given->chances ? given->chances : USUAL_CHANCES, .only_luck = given->only_luck,
                .threads = given->threads, .progress = progress_report, .user = &shown},
        .n_columns = all->n_columns};
    thaw_status status = thaw_compare_run(compared, all->n, &asked, dir, &c, &err);
    progress_end(&shown);
    if (status == THAW_ERR_CANCELLED) {
        fprintf(stderr, "thawprint: stopped; what is done is kept in %s, and the same command goes on\n", dir);
        return EXIT_STOPPED;
    }
    if (status == THAW_OK) {
        status = thaw_comparison_write(c, dir, &err);
    }
    int result = status == THAW_OK ? report(given, all, c, dir) : complain(&err);
    thaw_comparison_destroy(c);
    return result;
}

int command_compare(const options *given)
{
    line_up *all = calloc(1, sizeof *all);
    char usual[160];
    int result = EXIT_SYSTEM;
    if (!all) {
        fprintf(stderr, "thawprint: not enough memory\n");
        return EXIT_SYSTEM;
    }
    if (given->n_operands == 0 || (given->n_vary > 0 && given->n_operands > 1) || (given->n_vary == 0 && given->n_operands < 2)) {
        fprintf(stderr, "thawprint: compare takes two or more scenarios, or one with --vary\n");
        free(all);
        return EXIT_USAGE;
    }
    result = given->n_vary > 0 ? load_varied(given, all) : load_files(given, all);
    if (result == EXIT_DONE) {
        share_seed(given, all);
        snprintf(usual, sizeof usual, "out/compare-%s", thaw_scenario_name(all->scenarios[0]));
        const char *dir = given->out_dir ? given->out_dir : usual;
        result = folder_try(dir) ? run(given, all, dir) : EXIT_SYSTEM;
    }
    for (int i = 0; i < all->n; i++) {
        thaw_scenario_destroy(all->scenarios[i]);
    }
    free(all);
    return result;
}
