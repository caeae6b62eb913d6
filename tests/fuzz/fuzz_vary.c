/* A value put into a scenario: line 1 is the path of the key, line 2 the value, the rest a scenario, or nothing for
 * the demo. */
#include "fuzz.h"

#include "api/read_file.h"
#include "scenario/demo_text.h"
#include "scenario/scenario.h"

#define MEMORY_BYTES 4e9

static char *cut_line(char **rest)
{
    char *line = *rest, *end = strchr(line, '\n');
    if (end) {
        *end = '\0';
        *rest = end + 1;
    } else {
        *rest = line + strlen(line);
    }
    return line;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *input = as_text(data, size), *rest = input;
    const thaw_override override = {.path = cut_line(&rest), .value = cut_line(&rest)};
    const char *text = *rest ? rest : thaw_demo_text;
    thaw_scenario *scenario = NULL;
    thaw_shelf *shelf = NULL;
    thaw_error err = {0};
    demand(thaw_shelf_create(&shelf, &err) == THAW_OK, "a shelf can be made", err.text);
    const thaw_status status =
        thaw_scenario_parse_with(text, strlen(text), "fuzz.yaml", MEMORY_BYTES, shelf, &override, 1, &scenario, &err);
    if (status != THAW_OK) {
        demand_reason(status, &err);
        demand(status == THAW_ERR_SCENARIO, "bad bytes are the fault of the file", err.text);
    }
    thaw_scenario_destroy(scenario);
    free(input);
    return 0;
}
