/* thawprint preview: one scenario from the file to pictures and figures. */
#include <stdio.h>

#include <thawprint/preview.h>

#include "commands.h"
#include "folder.h"
#include "progress.h"
#include "result.h"

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

static int run(const options *given, const thaw_scenario *scenario, const char *dir)
{
    thaw_error err = {0};
    thaw_preview *preview = NULL;
    progress shown;
    progress_begin(&shown, given->quiet);
    thaw_preview_options asked = {.threads = given->threads, .progress = progress_report, .user = &shown,
                                  .without_ranges = given->without_ranges,
                                  .frames = given->frames > 0 ? given->frames : 0};
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
        status = result_print(given, scenario, preview, dir, &err);
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
    if (given->kitchen && given->n_operands == 0) {
        fprintf(stderr, "thawprint: --kitchen goes with a scenario file, not with the demo\n");
        return EXIT_USAGE;
    }
    if (given->n_operands == 0 && !given->quiet) {
        fprintf(stderr, "thawprint: no scenario is named, so this is the built-in demo\n");
    }
    if (load_scenario(given, NULL, &scenario, &err) != THAW_OK) {
        return complain(&err);
    }
    snprintf(usual, sizeof usual, "out/%s", thaw_scenario_name(scenario));
    const char *dir = given->out_dir ? given->out_dir : usual;
    int result = given->dry_run        ? describe(scenario)
                 : !folder_try(dir)    ? EXIT_SYSTEM
                 : given->chances > 0  ? run_chances(given, scenario, dir)
                                       : run(given, scenario, dir);
    thaw_scenario_destroy(scenario);
    return result;
}
