/* Memory that runs out while supplies or a border are worked out: a plain status, nothing half made. */
#include "curtain.h"

#include "base/alloc.h"
#include "thawprint/border.h"
#include "thawprint/supplies.h"

#define MOST_ALLOCATIONS 400000

typedef thaw_status (*piece_of_work)(const thaw_scenario *scenario, void **out, thaw_error *err);

static thaw_status make_supplies(const thaw_scenario *scenario, void **out, thaw_error *err)
{
    const thaw_supplies_options asked = {.threads = 1};
    thaw_supplies *supplies = NULL;
    thaw_status status = thaw_supplies_run(scenario, &asked, &supplies, err);
    char *text = NULL;
    if (status == THAW_OK) {
        status = thaw_supplies_json(supplies, &text, err);
    }
    thaw_text_free(text);
    if (status == THAW_OK) {
        *out = supplies;
    } else {
        thaw_supplies_destroy(supplies);
    }
    return status;
}

static thaw_status make_border(const thaw_scenario *scenario, void **out, thaw_error *err)
{
    const thaw_border_options asked = {.end_m = 0.12, .sure = 0.8, .chances = 4, .threads = 1};
    thaw_border *border = NULL;
    thaw_status status = thaw_border_run(scenario, &asked, &border, err);
    char *text = NULL;
    if (status == THAW_OK) {
        status = thaw_border_json(border, &text, err);
    }
    thaw_text_free(text);
    if (status == THAW_OK) {
        *out = border;
    } else {
        thaw_border_destroy(border);
    }
    return status;
}

/* Strides grow: a run takes the longer the later it fails. */
static void *fail_everywhere(piece_of_work work)
{
    const curtain tiny = {6.0, 36.0, 12.0, 6.0, 3.0, 0.4, NULL};
    thaw_scenario *scenario = curtain_scenario(&tiny);
    void *done = NULL;
    int failures = 0;
    for (long n = 1; !done; n += 1 + n / 12) {
        int nothing = 0;
        void *out = &nothing;
        thaw_error err = {0};
        assert_true(n < MOST_ALLOCATIONS);
        thaw_allocate_fail_at(n);
        thaw_status status = work(scenario, &out, &err);
        thaw_allocate_fail_at(0);
        if (status == THAW_OK) {
            done = out;
            break;
        }
        if (status != THAW_ERR_MEMORY) {
            print_error("allocation %ld: %s: %s\n", n, thaw_status_text(status), err.text);
        }
        assert_int_equal(status, THAW_ERR_MEMORY);
        assert_ptr_equal(out, &nothing);
        assert_true(err.text[0] != '\0');
        failures++;
    }
    print_message("  %d failures, then success\n", failures);
    assert_true(failures > 30);
    thaw_scenario_destroy(scenario);
    return done;
}

static void supplies_survive_failing_allocations(void **state)
{
    (void)state;
    thaw_supplies_destroy(fail_everywhere(make_supplies));
}

static void a_border_survives_failing_allocations(void **state)
{
    (void)state;
    thaw_border_destroy(fail_everywhere(make_border));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(supplies_survive_failing_allocations),
        cmocka_unit_test(a_border_survives_failing_allocations),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
