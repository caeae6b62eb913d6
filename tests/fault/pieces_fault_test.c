/* Memory that runs out at any moment while pieces are laid and written: a plain status, nothing half made or half written. */
#define _POSIX_C_SOURCE 200809L

#include "setup_cloth.h"

#include <dirent.h>
#include <stdlib.h>
#include <unistd.h>

#include "base/alloc.h"
#include "api/pieces_result.h"

#define MOST_ALLOCATIONS 20000

static const char *const pattern_text = "seam-allowance: 2 mm\ngap: 2 mm\npieces:\n  - { piece: flag, rectangle: [3, 2], wish: hem }\n"
                                        "  - { piece: cuff, outline: [[0, 0], [2, 0], [1, 2]], cut: 2, mirrored: yes, wish: [match, navy] }\n";

static void write_pattern(const char *dir, char *path, size_t size)
{
    snprintf(path, size, "%s/p.yaml", dir);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fputs(pattern_text, file);
    fclose(file);
}

static int count_files(const char *dir)
{
    int n = 0;
    DIR *folder = opendir(dir);
    while (folder && readdir(folder)) {
        n++;
    }
    if (folder) {
        closedir(folder);
    }
    return n;
}

static void laying_and_writing_survive_any_failing_allocation(void **state)
{
    (void)state;
    char dir[64] = "/tmp/thaw-fault-XXXXXX", out[80], path[128], command[160];
    thaw_error err = {0};
    thaw_pattern *pattern = NULL;
    thaw_pieces *pieces = NULL;
    assert_non_null(mkdtemp(dir));
    write_pattern(dir, path, sizeof path);
    snprintf(out, sizeof out, "%s/out", dir);
    thaw_scenario *scenario = setup_cloth(0.08, 0.05, 0.1e-3);
    scenario->spec.leave_s = 600.0;
    const thaw_pieces_options options = {.set = {.n = 2, .threads = 1}};
    assert_done(thaw_pattern_load(path, &pattern, &err), &err);
    assert_done(thaw_pieces_run(scenario, pattern, &options, out, &pieces, &err), &err); /* its members stay for what follows */
    thaw_pieces_destroy(pieces);
    pieces = NULL;
    int failures = 0;
    for (long n = 1; !pieces; n += 1 + n / 40) { /* late ones cost a whole search each */
        thaw_pieces untouched_by_failure, *got = &untouched_by_failure;
        err = (thaw_error){0};
        thaw_allocate_fail_at(n);
        thaw_status status = thaw_pieces_run(scenario, pattern, &options, out, &got, &err);
        thaw_allocate_fail_at(0);
        assert_true(n < MOST_ALLOCATIONS);
        if (status == THAW_OK) {
            pieces = got;
        } else {
            assert_int_equal(status, THAW_ERR_MEMORY);
            assert_true(err.text[0] != '\0');
            assert_ptr_equal(got, &untouched_by_failure);
            failures++;
        }
    }
    const int files = count_files(out);
    for (long n = 1;; n++) {
        err = (thaw_error){0};
        thaw_allocate_fail_at(n);
        thaw_status status = thaw_pieces_write(pieces, out, "a4", NULL, &err);
        thaw_allocate_fail_at(0);
        assert_true(n < MOST_ALLOCATIONS);
        if (status == THAW_OK) {
            break;
        }
        assert_int_equal(status, THAW_ERR_MEMORY);
        assert_int_equal(count_files(out), files);
        failures++;
    }
    assert_true(count_files(out) > files);
    print_message("  %d failures, then success\n", failures);
    assert_true(failures > 100);
    thaw_pieces_destroy(pieces);
    thaw_pattern_destroy(pattern);
    thaw_scenario_destroy(scenario);
    snprintf(command, sizeof command, "rm -r %.60s", dir);
    assert_int_equal(system(command), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(laying_and_writing_survive_any_failing_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
