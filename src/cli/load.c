#include <thawprint/scenario.h>

#include "commands.h"

thaw_status load_scenario(const options *given, const char *usual_detail, thaw_scenario **out, thaw_error *err)
{
    thaw_scenario *scenario = NULL;
    const char *detail = given->detail ? given->detail : usual_detail;
    thaw_status status =
        given->n_operands ? thaw_scenario_load_kitchen(given->operands[0], given->cloths, given->dyes, given->kitchen, NULL, 0,
                                                       &scenario, err)
                          : thaw_scenario_demo(&scenario, err);
    if (status == THAW_OK && detail) {
        status = thaw_scenario_set_detail(scenario, detail, err);
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
