/* Any bytes as a scenario file: faults with a reason, or a scenario whose resolved text gives itself again. */
#include "fuzz.h"

#include "scenario/scenario.h"

#define MEMORY_BYTES 4e9

static thaw_scenario *parse(const char *text, size_t n)
{
    thaw_scenario *scenario = NULL;
    thaw_error err = {0};
    /* The path is that of shipped scenarios, so that painted pictures can be found. */
    const thaw_status status =
        thaw_scenario_parse(text, n, THAW_SOURCE_DIR "/scenarios/set-ups/fuzz.yaml", MEMORY_BYTES, &scenario, &err);
    if (status != THAW_OK) {
        demand_reason(status, &err);
        demand(status == THAW_ERR_SCENARIO, "bad bytes are the fault of the file", err.text);
        demand(scenario == NULL, "outputs are untouched on failure", NULL);
    }
    return scenario;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = as_text(data, size), *first = NULL, *second = NULL, *table = NULL;
    thaw_error err = {0};
    thaw_scenario *scenario = parse(text, size);
    if (scenario) {
        demand(thaw_scenario_resolved(scenario, &first, &err) == THAW_OK, "it can be written", err.text);
        demand(thaw_scenario_describe(scenario, &table, &err) == THAW_OK, "it can be described", err.text);
        thaw_scenario *again = parse(first, strlen(first));
        demand(again != NULL, "what is written can be read", first);
        demand(thaw_scenario_resolved(again, &second, &err) == THAW_OK, "it can be written again", err.text);
        demand(strcmp(first, second) == 0, "written, read and written it is the same", second);
        thaw_scenario_destroy(again);
    }
    thaw_scenario_destroy(scenario);
    thaw_text_free(first);
    thaw_text_free(second);
    thaw_text_free(table);
    free(text);
    return 0;
}
