/* thawprint check: validate scenarios, show what they resolve to. */
#include <stdio.h>
#include <string.h>

#include <thawprint/scenario.h>

#include "commands.h"

static int print_described(const thaw_scenario *scenario, const char *path)
{
    thaw_error err = {0};
    char *text = NULL;
    char digest[17];
    if (thaw_scenario_describe(scenario, &text, &err) != THAW_OK) {
        return complain(&err);
    }
    thaw_scenario_digest(scenario, digest);
    print_plain(stdout, path, strlen(path));
    printf(": fine, digest %s\n%s", digest, text);
    thaw_text_free(text);
    return EXIT_DONE;
}

static int check_one(const options *given, const char *path)
{
    thaw_error err = {0};
    thaw_scenario *scenario = NULL;
    thaw_status status = thaw_scenario_load_kitchen(path, given->cloths, given->dyes, given->kitchen, NULL, 0, &scenario, &err);
    if (status == THAW_OK && given->detail) {
        status = thaw_scenario_set_detail(scenario, given->detail, &err);
    }
    if (status == THAW_OK && given->seed_given) {
        thaw_scenario_set_seed(scenario, given->seed);
    }
    int result = status == THAW_OK ? EXIT_DONE : complain(&err);
    if (status == THAW_OK && !given->quiet) {
        result = print_described(scenario, path);
    }
    thaw_scenario_destroy(scenario);
    return result;
}

int command_check(const options *given)
{
    int worst = EXIT_DONE;
    if (given->n_operands == 0) {
        fprintf(stderr, "thawprint: check wants at least one scenario file\n");
        return EXIT_USAGE;
    }
    for (int i = 0; i < given->n_operands; i++) {
        if (i > 0 && !given->quiet) {
            printf("\n");
        }
        int result = check_one(given, given->operands[i]);
        worst = result > worst ? result : worst;
    }
    return worst;
}
