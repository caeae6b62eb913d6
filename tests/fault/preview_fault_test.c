/* Memory that runs out at any moment: a plain status, nothing half made, and then all goes well. */
#include "setup_cloth.h"

#include "api/preview_result.h"

#include "base/alloc.h"

/* No run of this size needs as many allocations; so the loops end. */
#define MOST_ALLOCATIONS 200000

static thaw_status run_until(const thaw_scenario *scenario, long n, thaw_preview **out, thaw_error *err)
{
    const thaw_preview_options options = {.threads = 1};
    thaw_allocate_fail_at(n);
    thaw_status status = thaw_preview_run(scenario, &options, out, err);
    thaw_allocate_fail_at(0);
    return status;
}

/* Every allocation at first, where setting up takes one after the other; later ever larger strides. */
static void fail_everywhere(thaw_scenario *scenario)
{
    thaw_preview *usual = NULL, *after = NULL;
    thaw_error err = {0};
    assert_done(run_until(scenario, 0, &usual, &err), &err);
    int failures = 0;
    for (long n = 1; !after; n += 1 + n / 200) {
        thaw_preview untouched, *out = &untouched;
        err = (thaw_error){0};
        thaw_status status = run_until(scenario, n, &out, &err);
        assert_true(n < MOST_ALLOCATIONS);
        if (status == THAW_OK) {
            after = out;
            break;
        }
        if (status != THAW_ERR_MEMORY) {
            print_error("allocation %ld: %s: %s\n", n, thaw_status_text(status), err.text);
        }
        assert_int_equal(status, THAW_ERR_MEMORY);
        assert_int_equal(err.status, THAW_ERR_MEMORY);
        assert_true(err.text[0] != '\0');
        assert_ptr_equal(out, &untouched);
        failures++;
    }
    print_message("  %d failures, then success\n", failures);
    assert_true(failures > 100); /* else the hook did not reach the work */
    const thaw_image *a = &usual->images[THAW_PICTURE_DRY], *b = &after->images[THAW_PICTURE_DRY];
    assert_int_equal(a->width, b->width);
    assert_int_equal(a->height, b->height);
    assert_memory_equal(a->rgb, b->rgb, 3 * (size_t)a->width * (size_t)a->height);
    thaw_preview_destroy(usual);
    thaw_preview_destroy(after);
    thaw_scenario_destroy(scenario);
}

static void a_preview_survives_any_failing_allocation(void **state)
{
    (void)state;
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.05);
    scenario->spec.leave_s = 600.0;
    fail_everywhere(scenario);
}

/* Tub, dry cloth, late ice, a listed area, lumps, liquid and soda ash as powder all take memory of their own. */
static void a_preview_with_every_set_up_survives_any_failing_allocation(void **state)
{
    (void)state;
    thaw_scenario *scenario = setup_cloth(0.08, 0.05, 0.1e-3);
    thaw_specification *spec = &scenario->spec;
    spec->leave_s = 600.0;
    spec->vessel.stand = THAW_IN_TUB;
    spec->starts_dry = true;
    spec->ice[spec->n_ice] = spec->ice[0];
    spec->ice[spec->n_ice++].at_s = 300.0;
    spec->ice[0].area = (thaw_area){.name = "lines", .shape = THAW_AREA_LINES, .spacing = 0.3, .width = 0.1};
    spec->dye[0].lumps = 0.5;
    spec->dye[0].under_ice = true;
    spec->dye[spec->n_dye] = spec->dye[0];
    spec->dye[spec->n_dye++].volume_m3 = 5e-6;
    spec->n_soda = 1;
    spec->soda[0] = (thaw_dye_zone){.mass_kg = 0.2e-3, .area = whole_area()};
    fail_everywhere(scenario);
}

static void loading_the_demo_survives_any_failing_allocation(void **state)
{
    (void)state;
    thaw_scenario *loaded = NULL;
    int failures = 0;
    for (long n = 1; !loaded; n++) {
        thaw_error err = {0};
        thaw_allocate_fail_at(n);
        thaw_status status = thaw_scenario_demo(&loaded, &err);
        thaw_allocate_fail_at(0);
        assert_true(n < MOST_ALLOCATIONS);
        if (status != THAW_OK) {
            assert_int_equal(status, THAW_ERR_MEMORY);
            assert_int_equal(err.status, THAW_ERR_MEMORY);
            assert_null(loaded);
            failures++;
        }
    }
    print_message("  %d failures, then success\n", failures);
    assert_true(failures > 0);
    thaw_scenario_destroy(loaded);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(loading_the_demo_survives_any_failing_allocation),
        cmocka_unit_test(a_preview_survives_any_failing_allocation),
        cmocka_unit_test(a_preview_with_every_set_up_survives_any_failing_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
