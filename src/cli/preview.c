/* thawprint preview: one scenario from the file to pictures and figures. */
#include <stdio.h>
#include <string.h>

#include <thawprint/preview.h>

#include "commands.h"
#include "folder.h"
#include "progress.h"
#include "screen.h"

static thaw_status load(const options *given, thaw_scenario **out, thaw_error *err)
{
    thaw_scenario *scenario = NULL;
    thaw_status status =
        given->n_operands ? thaw_scenario_load_own(given->operands[0], given->cloths, given->dyes, &scenario, err)
                          : thaw_scenario_demo(&scenario, err);
    if (status == THAW_OK && given->detail) {
        status = thaw_scenario_set_detail(scenario, given->detail, err);
    }
    if (status != THAW_OK) {
        thaw_scenario_destroy(scenario);
        return status;
    }
    if (given->seed_given) {
        thaw_scenario_set_seed(scenario, given->seed);
    }
    *out = scenario;
    return THAW_OK;
}

static int describe(const thaw_scenario *scenario)
{
    thaw_error err = {0};
    char *text = NULL;
    if (thaw_scenario_describe(scenario, &text, &err) != THAW_OK) {
        return complain(&err);
    }
    printf("%s", text);
    thaw_text_free(text);
    return EXIT_DONE;
}

static thaw_status print_json(const thaw_preview *preview, thaw_error *err)
{
    char *text = NULL;
    thaw_status status = thaw_preview_json(preview, &text, err);
    if (status == THAW_OK) {
        size_t n = strlen(text);
        printf("%s%s", text, n > 0 && text[n - 1] == '\n' ? "" : "\n");
        thaw_text_free(text);
    }
    return status;
}

static thaw_status print_result(const options *given, const thaw_scenario *scenario,
                                const thaw_preview *preview, const char *dir, thaw_error *err)
{
    const thaw_preview_figures *figures = thaw_preview_get_figures(preview);
    if (given->json) {
        return print_json(preview, err);
    }
    if (given->quiet) {
        printf("%s\n", dir);
        return THAW_OK;
    }
    screen_print(figures, scenario, dir);
    if (given->verbose) {
        screen_print_ledgers(figures);
    }
    return THAW_OK;
}

static int run(const options *given, const thaw_scenario *scenario, const char *dir)
{
    thaw_error err = {0};
    thaw_preview *preview = NULL;
    progress shown;
    progress_begin(&shown, given->quiet);
    thaw_preview_options asked = {given->threads, progress_report, &shown};
    thaw_status status = thaw_preview_run(scenario, &asked, &preview, &err);
    progress_end(&shown);
    if (status == THAW_OK && progress_stopped()) {
        thaw_preview_destroy(preview);
        fprintf(stderr, "thawprint: stopped, nothing written\n");
        return EXIT_STOPPED;
    }
    if (status == THAW_OK) {
        status = thaw_preview_write(preview, dir, &err);
    }
    if (status == THAW_OK) {
        status = print_result(given, scenario, preview, dir, &err);
    }
    thaw_preview_destroy(preview);
    return status == THAW_OK ? EXIT_DONE : complain(&err);
}

int command_preview(const options *given)
{
    thaw_error err = {0};
    thaw_scenario *scenario = NULL;
    char usual[128];
    if (given->n_operands > 1) {
        fprintf(stderr, "thawprint: preview takes one scenario, not %d\n", given->n_operands);
        return EXIT_USAGE;
    }
    if (load(given, &scenario, &err) != THAW_OK) {
        return complain(&err);
    }
    snprintf(usual, sizeof usual, "out/%s", thaw_scenario_name(scenario));
    const char *dir = given->out_dir ? given->out_dir : usual;
    int result = given->dry_run    ? describe(scenario)
                 : folder_try(dir) ? run(given, scenario, dir)
                                   : EXIT_SYSTEM;
    thaw_scenario_destroy(scenario);
    return result;
}
