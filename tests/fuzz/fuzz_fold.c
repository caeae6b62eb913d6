/* Any scenario, shrunk to few cells, is folded and gets its ice, dye and engine: a bundle in which every cell keeps one
 * place, or a reason. */
#include "fuzz.h"

#include <math.h>

#include "scenario/scenario.h"
#include "setup/fold.h"
#include "study/outcome.h"

#define MEMORY_BYTES 4e9
#define CELLS 24                   /* on the longer side */

/* The same recipe on a small cloth: lengths by one factor, masses by its square. */
static void shrink(thaw_specification *spec)
{
    const double longer = fmax(spec->width_m, spec->length_m), factor = fmin(1.0, CELLS * spec->cell_m / longer);
    spec->width_m = fmax(spec->width_m * factor, 2.0 * spec->cell_m);
    spec->length_m = fmax(spec->length_m * factor, 2.0 * spec->cell_m);
    spec->hang.from_m *= factor;
    spec->hang.up_m *= factor;
    spec->hang.down_m *= factor;
    for (int z = 0; z < spec->n_ice; z++) {
        spec->ice[z].mass_kg *= factor * factor;
    }
    for (int z = 0; z < spec->n_dye; z++) {
        spec->dye[z].mass_kg *= factor * factor;
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = as_text(data, size);
    thaw_scenario *scenario = NULL;
    thaw_error err = {0};
    if (thaw_scenario_parse(text, size, THAW_SOURCE_DIR "/scenarios/set-ups/fuzz.yaml", MEMORY_BYTES, &scenario, &err) ==
        THAW_OK) {
        thaw_outcome *work = calloc(1, sizeof *work);
        demand(work != NULL, "memory for the run", NULL);
        shrink(&scenario->spec);
        work->spec = &scenario->spec;
        const thaw_status status = thaw_outcome_prepare(work, &err);
        if (status != THAW_OK) {
            demand_reason(status, &err);
        } else {
            demand(thaw_bundle_is_valid(&work->bundle), "every cell keeps one place", NULL);
        }
        thaw_outcome_clear(work);
        free(work);
    }
    thaw_scenario_destroy(scenario);
    free(text);
    return 0;
}
