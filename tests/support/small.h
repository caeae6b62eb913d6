/* Shipped scenarios at small size: the same recipe on a smaller cloth, so that a run takes a second
 * or two. Lengths shrink by `factor`, masses by its square, cells are 4 mm. */
#ifndef THAW_TESTS_SMALL_H
#define THAW_TESTS_SMALL_H

#include "check.h"

#include "study/outcome.h"
#include "scenario/scenario.h"
#include "thawprint/thawprint.h"

static inline void must(thaw_status status, const thaw_error *err, const char *file, int line)
{
    if (status != THAW_OK) {
        print_error("%s: %s\n", thaw_status_text(status), err->text);
        _fail(file, line);
    }
}
#define assert_done(call, err) must((call), (err), __FILE__, __LINE__)

/* Shrinks a loaded scenario in place; what is written back out is the shrunk one. */
static inline void shrink(thaw_scenario *scenario, double factor)
{
    thaw_specification *spec = &scenario->spec;
    spec->width_m *= factor;
    spec->length_m *= factor;
    for (int p = 0; p < spec->garment.n_panels; p++) {
        for (int i = 0; i < spec->garment.panels[p].n_corners; i++) {
            spec->garment.panels[p].corners[i][0] *= factor;
            spec->garment.panels[p].corners[i][1] *= factor;
        }
    }
    for (int s = 0; s < THAW_GARMENT_SIZES; s++) {
        spec->garment.sizes_m[s] *= factor;
    }
    spec->garment.width_m *= factor;
    spec->garment.length_m *= factor;
    spec->hang.from_m *= factor;
    spec->hang.up_m *= factor;
    spec->hang.down_m *= factor;
    spec->hang.tie_m *= factor;
    for (int z = 0; z < spec->n_ice; z++) {
        spec->ice[z].mass_kg *= factor * factor;
    }
    for (int z = 0; z < spec->n_dye; z++) {
        spec->dye[z].mass_kg *= factor * factor;
    }
}

/* A shipped scenario, shrunk; the caller destroys it. */
static inline thaw_scenario *small_scenario(const char *name, double factor)
{
    char path[1024];
    thaw_error err = {0};
    thaw_scenario *scenario = NULL;
    snprintf(path, sizeof path, "%s/scenarios/%s.yaml", THAW_SOURCE_DIR, name);
    assert_done(thaw_scenario_load(path, &scenario, &err), &err);
    assert_done(thaw_scenario_set_detail(scenario, "draft", &err), &err);
    shrink(scenario, factor);
    return scenario;
}

/* Folds, lays and runs to the rinse; release with thaw_outcome_clear. */
static inline void run_small(const thaw_specification *spec, thaw_outcome *work)
{
    thaw_error err = {0};
    *work = (thaw_outcome){.spec = spec};
    assert_done(thaw_outcome_prepare(work, &err), &err);
    assert_done(thaw_engine_run(&work->engine, NULL, NULL, &err), &err);
}

#endif
