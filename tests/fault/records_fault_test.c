/* Memory that runs out while a strip is fitted, a piece recorded, a kitchen learnt, a page written and taken out again: a
 * plain status, nothing handed out, nothing half written. */
#define _POSIX_C_SOURCE 200809L

#include "small.h"

#include <dirent.h>
#include <stdlib.h>
#include <unistd.h>

#include "base/alloc.h"

#define MOST_ALLOCATIONS 400000

static char dir[64];               /* all files of the test */
static thaw_scenario *scenario;

static void path_in(const char *name, char out[160])
{
    snprintf(out, 160, "%s/%s", dir, name);
}

static int make_run(void **state)
{
    (void)state;
    char path[160];
    thaw_preview *preview = NULL;
    thaw_error err = {0};
    const thaw_preview_options options = {.threads = 1, .without_ranges = true};
    snprintf(dir, sizeof dir, "/tmp/thaw-records-XXXXXX");
    assert_non_null(mkdtemp(dir));
    scenario = small_scenario("tide-backdrop", 0.05);
    scenario->spec.leave_s = 12.0 * 3600.0; /* the ice is gone by then */
    path_in("run", path);
    assert_done(thaw_preview_run(scenario, &options, &preview, &err), &err);
    assert_done(thaw_preview_write(preview, path, &err), &err);
    thaw_preview_destroy(preview);
    path_in("readings.csv", path);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fputs("time (min), height (mm)\n1, 20\n5, 41\n20, 70\n", file);
    assert_int_equal(fclose(file), 0);
    return 0;
}

static int remove_all(void **state)
{
    (void)state;
    char command[160];
    thaw_scenario_destroy(scenario);
    snprintf(command, sizeof command, "rm -r %s", dir);
    return system(command) == 0 ? 0 : 1;
}

/* Files that show in a folder; none where there is no folder. */
static int count_files(const char *path)
{
    int n = 0;
    DIR *folder = opendir(path);
    for (struct dirent *entry; folder && (entry = readdir(folder)) != NULL;) {
        n += strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0;
    }
    if (folder) {
        closedir(folder);
    }
    return n;
}

typedef thaw_status piece_of_work(const char *out, thaw_error *err);

/* Each n-th allocation fails until the work is done; `out` has no file more before. Strides grow: a failure costs the more
 * the later it comes. */
static void fail_everywhere(piece_of_work *work, const char *out_name, int least)
{
    char out[160];
    int failures = 0;
    path_in(out_name, out);
    const int before = count_files(out);
    for (long n = 1;; n += 1 + n / 15) {
        thaw_error err = {0};
        assert_true(n < MOST_ALLOCATIONS);
        thaw_allocate_fail_at(n);
        const thaw_status status = work(out, &err);
        thaw_allocate_fail_at(0);
        if (status == THAW_OK) {
            break;
        }
        if (status != THAW_ERR_MEMORY) {
            print_error("allocation %ld: %s: %s\n", n, thaw_status_text(status), err.text);
        }
        assert_int_equal(status, THAW_ERR_MEMORY);
        assert_true(err.text[0] != '\0');
        assert_int_equal(count_files(out), before);
        failures++;
    }
    print_message("  %d failures, then success\n", failures);
    assert_true(failures >= least);
    assert_true(count_files(out) > before);
}

static thaw_status fit_strip(const char *out, thaw_error *err)
{
    char readings[160], *json = NULL;
    thaw_strip *strip = NULL;
    const thaw_strip_options options = {.cloth = "cotton twill", .water = "21 degC"};
    path_in("readings.csv", readings);
    thaw_status status = thaw_strip_run(readings, &options, &strip, err);
    if (status == THAW_OK) {
        status = thaw_strip_json(strip, &json, err);
    }
    if (status == THAW_OK) {
        status = thaw_strip_write(strip, out, err);
    }
    thaw_text_free(json);
    thaw_strip_destroy(strip);
    return status;
}

static thaw_status record_piece(const char *out, thaw_error *err)
{
    char photo[200];
    thaw_record *record = NULL;
    snprintf(photo, sizeof photo, "%s/cloth-dry.png", out);
    const thaw_record_options options = {.melted = "30 min", .climbed = "2 cm", .remark = "a remark", .photo = photo};
    thaw_status status = thaw_record_open(out, &options, &record, err);
    if (status == THAW_OK) {
        status = thaw_record_write(record, err);
    }
    thaw_record_destroy(record);
    return status;
}

static thaw_status learn(const char *out, thaw_error *err)
{
    char run[160];
    const char *const folders[] = {run};
    thaw_learnt *learnt = NULL;
    const thaw_learn_options options = {.threads = 1};
    path_in("run", run);
    thaw_status status = thaw_learn_run(folders, 1, &options, &learnt, err);
    if (status == THAW_OK) {
        status = thaw_learnt_write(learnt, out, err);
    }
    thaw_learnt_destroy(learnt);
    return status;
}

static thaw_status write_page(const char *out, thaw_error *err)
{
    char run[160];
    thaw_notebook *book = NULL;
    path_in("run", run);
    const thaw_notebook_options options = {.folder = run, .frames = THAW_NOTEBOOK_AS_FOUND, .threads = 1, .without_ranges = true};
    thaw_status status = thaw_notebook_make(scenario, &options, &book, err);
    if (status == THAW_OK) {
        status = thaw_notebook_write(book, out, "page.html", err);
    }
    thaw_notebook_destroy(book);
    return status;
}

static thaw_status take_out(const char *out, thaw_error *err)
{
    char page[200];
    path_in("book/page.html", page);
    return thaw_notebook_take_out(page, out, err);
}

static void a_strip_survives_failing_allocations(void **state)
{
    (void)state;
    fail_everywhere(fit_strip, "strip", 15);
}

static void a_record_survives_failing_allocations(void **state)
{
    (void)state;
    fail_everywhere(record_piece, "run", 15);
}

static void learning_survives_failing_allocations(void **state)
{
    (void)state;
    fail_everywhere(learn, "kitchen", 15);
}

static void a_page_is_written_and_taken_out_or_not(void **state)
{
    (void)state;
    fail_everywhere(write_page, "book", 15);
    fail_everywhere(take_out, "again", 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_strip_survives_failing_allocations),
        cmocka_unit_test(a_record_survives_failing_allocations),
        cmocka_unit_test(learning_survives_failing_allocations),
        cmocka_unit_test(a_page_is_written_and_taken_out_or_not),
    };
    return cmocka_run_group_tests(tests, make_run, remove_all);
}
