/* Memory that runs out while a page is made: a plain status, nothing handed out, nothing kept. */
#include "small.h"

#include <string.h>

#include "api/notebook_sources.h"
#include "base/alloc.h"
#include "base/file.h"

#define MOST_ALLOCATIONS 20000

static const char *const folder = "page-fault-run";

/* A run that lies in a folder, so that making the page takes no run. */
static thaw_scenario *prepare(void)
{
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.05);
    const thaw_preview_options options = {.threads = 1, .without_ranges = true, .frames = 3};
    thaw_preview *preview = NULL;
    thaw_error err = {0};
    scenario->spec.leave_s = 600.0;
    assert_done(thaw_preview_run(scenario, &options, &preview, &err), &err);
    assert_done(thaw_preview_write(preview, folder, &err), &err);
    thaw_preview_destroy(preview);
    return scenario;
}

static void clean_up(void)
{
    thaw_error err = {0};
    char path[256];
    for (int i = 0; i < thaw_preview_file_count(); i++) {
        snprintf(path, sizeof path, "%s/%s", folder, thaw_preview_file_name(i));
        assert_done(thaw_file_remove(path, &err), &err);
    }
    for (int i = 0; i < thaw_preview_film_count(); i++) {
        snprintf(path, sizeof path, "%s/%s", folder, thaw_preview_film_name(i));
        assert_done(thaw_file_remove(path, &err), &err);
    }
    assert_done(thaw_file_remove(folder, &err), &err);
}

static void a_page_without_memory_is_a_plain_status(void **state)
{
    (void)state;
    thaw_scenario *scenario = prepare();
    const thaw_notebook_options options = {.folder = folder, .frames = THAW_NOTEBOOK_AS_FOUND, .threads = 1, .without_ranges = true};
    thaw_notebook *book = NULL;
    long n = 1;
    for (; n < MOST_ALLOCATIONS && !book; n += n < 60 ? 1 : 7) {
        thaw_error err = {0};
        thaw_allocate_fail_at(n);
        const thaw_status status = thaw_notebook_make(scenario, &options, &book, &err);
        thaw_allocate_fail_at(0);
        if (status != THAW_OK) {
            assert_int_equal(status, THAW_ERR_MEMORY);
            assert_null(book);
        }
    }
    print_message("made after %ld allocations\n", n);
    assert_non_null(book);
    assert_false(thaw_notebook_was_run(book));
    assert_int_equal(thaw_notebook_frame_count(book), 3);
    thaw_notebook_destroy(book);
    thaw_scenario_destroy(scenario);
    clean_up();
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_page_without_memory_is_a_plain_status)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
