/* Memory that runs out at any moment while chances run, are joined, drawn and compared: a plain status, no half result,
 * and the same call again ends well, with the bytes of a run that met no fault. */
#define _XOPEN_SOURCE 700

#include "small.h"

#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/alloc.h"
#include "base/file.h"
#include "thawprint/chances.h"
#include "thawprint/compare.h"

#define MOST_ALLOCATIONS 200000

static const thaw_chances_options TWO = {.n = 2, .threads = 1};

static thaw_scenario *tiny(uint64_t seed)
{
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.05);
    scenario->spec.leave_s = 600.0;
    thaw_scenario_set_seed(scenario, seed);
    return scenario;
}

static void folder(char out[64])
{
    snprintf(out, 64, "%s/thawprint-test-XXXXXX", access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp");
    assert_non_null(mkdtemp(out));
}

static void empty(const char *dir)
{
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", dir);
    assert_int_equal(system(command), 0);
}

static char *bytes_of(const char *dir, const char *name, size_t *n)
{
    char path[512], *bytes = NULL;
    bool whole = false;
    thaw_error err = {0};
    snprintf(path, sizeof path, "%s/%s", dir, name);
    assert_done(thaw_file_read(path, 1u << 24, &bytes, n, &whole, &err), &err);
    return bytes;
}

static void assert_same_file(const char *a, const char *b, const char *name)
{
    size_t n = 0, m = 0;
    char *x = bytes_of(a, name, &n), *y = bytes_of(b, name, &m);
    assert_int_equal(n, m);
    assert_memory_equal(x, y, n);
    thaw_release(x);
    thaw_release(y);
}

static thaw_status run_chances(const thaw_scenario *scenario, const char *dir, thaw_error *err)
{
    int n_run = 0;
    thaw_chances *chances = NULL;
    thaw_status status = thaw_chances_run(scenario, &TWO, dir, &n_run, err);
    if (status == THAW_OK) {
        status = thaw_chances_gather(scenario, &TWO, dir, &chances, err);
    }
    if (status == THAW_OK) {
        status = thaw_chances_write(chances, dir, true, err);
    }
    thaw_chances_destroy(chances);
    return status;
}

static thaw_status run_compare(const thaw_compared *all, const char *dir, thaw_error *err)
{
    const thaw_compare_options options = {.set = TWO};
    thaw_comparison *comparison = NULL;
    thaw_status status = thaw_compare_run(all, 2, &options, dir, &comparison, err);
    if (status == THAW_OK) {
        status = thaw_comparison_write(comparison, dir, err);
    }
    thaw_comparison_destroy(comparison);
    return status;
}

static void check_failure(thaw_status status, const thaw_error *err, long n)
{
    if (status != THAW_ERR_MEMORY) {
        print_error("allocation %ld: %s: %s\n", n, thaw_status_text(status), err->text);
    }
    assert_int_equal(status, THAW_ERR_MEMORY);
    assert_int_equal(err->status, THAW_ERR_MEMORY);
    assert_true(err->text[0] != '\0');
}

static void chances_survive_any_failing_allocation(void **state)
{
    (void)state;
    thaw_scenario *scenario = tiny(3);
    char usual[64], dir[64];
    thaw_error err = {0};
    folder(usual);
    folder(dir);
    assert_done(run_chances(scenario, usual, &err), &err);
    thaw_status status = THAW_ERR_MEMORY;
    int failures = 0;
    /* What a failure left is gone on with: so every allocation is met, in few runs of a member. */
    for (long n = 1; status != THAW_OK; n += 1 + n / 40) {
        err = (thaw_error){0};
        assert_true(n < MOST_ALLOCATIONS);
        thaw_allocate_fail_at(n);
        status = run_chances(scenario, dir, &err);
        thaw_allocate_fail_at(0);
        if (status != THAW_OK) {
            check_failure(status, &err, n);
            failures++;
        }
    }
    print_message("  %d failures, then success\n", failures);
    assert_true(failures > 100);
    for (int i = 0; i < thaw_chances_file_count(); i++) {
        assert_same_file(usual, dir, thaw_chances_file_name(i));
    }
    empty(usual);
    empty(dir);
    thaw_scenario_destroy(scenario);
}

static void comparisons_survive_any_failing_allocation(void **state)
{
    (void)state;
    thaw_scenario *one = tiny(3), *two = tiny(3);
    const thaw_compared all[2] = {{"one", one}, {"two", two}};
    char usual[64], dir[64];
    thaw_error err = {0};
    two->spec.room_k += 5.0;
    folder(usual);
    folder(dir);
    assert_done(run_compare(all, usual, &err), &err);
    thaw_status status = THAW_ERR_MEMORY;
    int failures = 0;
    for (long n = 1; status != THAW_OK; n += 1 + n / 20) {
        err = (thaw_error){0};
        assert_true(n < MOST_ALLOCATIONS);
        thaw_allocate_fail_at(n);
        status = run_compare(all, dir, &err);
        thaw_allocate_fail_at(0);
        if (status != THAW_OK) {
            check_failure(status, &err, n);
            failures++;
        }
    }
    print_message("  %d failures, then success\n", failures);
    assert_true(failures > 50);
    assert_same_file(usual, dir, "compare.json");
    assert_same_file(usual, dir, "compare.png");
    empty(usual);
    empty(dir);
    thaw_scenario_destroy(one);
    thaw_scenario_destroy(two);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(chances_survive_any_failing_allocation),
        cmocka_unit_test(comparisons_survive_any_failing_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
