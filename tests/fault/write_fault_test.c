/* Memory or disk that runs out while the files are written: a plain status, nothing half written, no
 * folder or temporary file left, and an earlier result in the same folder as it was. */
#define _XOPEN_SOURCE 700

#include "small.h"

#include <dirent.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <jansson.h>

#include "base/alloc.h"
#include "base/file.h"

#define MOST_ALLOCATIONS 5000
#define MOST_FILES       32

typedef struct kept_file {
    char name[256];
    char *bytes; /* own */
    size_t n;
} kept_file;

/* What lies in a folder. */
typedef struct kept_folder {
    kept_file files[MOST_FILES];
    int n;
} kept_folder;

/* Two results that differ in every file, and the folders to write them to. */
typedef struct place {
    thaw_preview *earlier, *later; /* own */
    char root[64];
    char used[128], fresh[128]; /* holds `earlier`; does not exist */
    kept_folder before, after;  /* what writing `earlier` and `later` gives */
} place;

static thaw_preview *preview_of_seed(uint64_t seed)
{
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.05);
    const thaw_preview_options options = {.threads = 1};
    thaw_preview *preview = NULL;
    thaw_error err = {0};
    scenario->spec.leave_s = 600.0;
    thaw_scenario_set_seed(scenario, seed);
    assert_done(thaw_preview_run(scenario, &options, &preview, &err), &err);
    thaw_scenario_destroy(scenario);
    return preview;
}

static void path_of(const char *dir, const char *name, char out[512])
{
    snprintf(out, 512, "%s/%s", dir, name);
}

static void keep_file(const char *dir, kept_file *file)
{
    char path[512];
    struct stat info;
    path_of(dir, file->name, path);
    FILE *open = fopen(path, "rb");
    assert_non_null(open);
    assert_int_equal(fstat(fileno(open), &info), 0);
    file->n = (size_t)info.st_size;
    file->bytes = malloc(file->n + 1);
    assert_non_null(file->bytes);
    assert_int_equal(fread(file->bytes, 1, file->n, open), file->n);
    fclose(open);
}

static void keep_folder(const char *dir, kept_folder *kept)
{
    DIR *open = opendir(dir);
    assert_non_null(open);
    kept->n = 0;
    for (struct dirent *entry; (entry = readdir(open)) != NULL;) {
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0) {
            continue;
        }
        assert_true(kept->n < MOST_FILES);
        snprintf(kept->files[kept->n].name, sizeof kept->files[kept->n].name, "%s", entry->d_name);
        keep_file(dir, &kept->files[kept->n++]);
    }
    closedir(open);
}

static void release_kept(kept_folder *kept)
{
    for (int i = 0; i < kept->n; i++) {
        free(kept->files[i].bytes);
    }
    kept->n = 0;
}

static const kept_file *find_kept(const kept_folder *kept, const char *name)
{
    for (int i = 0; i < kept->n; i++) {
        if (strcmp(kept->files[i].name, name) == 0) {
            return &kept->files[i];
        }
    }
    return NULL;
}

/* Number of files that differ between two folders of the same names. */
static int count_changed(const kept_folder *a, const kept_folder *b)
{
    int changed = 0;
    assert_int_equal(a->n, b->n);
    for (int i = 0; i < a->n; i++) {
        const kept_file *other = find_kept(b, a->files[i].name);
        if (!other) {
            print_error("%s is only in one folder\n", a->files[i].name);
        }
        assert_non_null(other);
        changed += a->files[i].n != other->n || memcmp(a->files[i].bytes, other->bytes, other->n) != 0;
    }
    return changed;
}

static void remove_folder(const char *dir)
{
    kept_folder kept;
    keep_folder(dir, &kept);
    for (int i = 0; i < kept.n; i++) {
        char path[512];
        path_of(dir, kept.files[i].name, path);
        assert_int_equal(unlink(path), 0);
    }
    release_kept(&kept);
    assert_int_equal(rmdir(dir), 0);
}

static int set_up(void **state)
{
    place *p = calloc(1, sizeof *p);
    thaw_error err = {0};
    assert_non_null(p);
    p->earlier = preview_of_seed(1);
    p->later = preview_of_seed(2);
    /* Hundreds of files are synced; where memory stands in for a disk that costs nothing. */
    snprintf(p->root, sizeof p->root, "%s/thawprint-test-XXXXXX", access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp");
    assert_non_null(mkdtemp(p->root));
    snprintf(p->used, sizeof p->used, "%s/used", p->root);
    snprintf(p->fresh, sizeof p->fresh, "%s/fresh", p->root);
    assert_done(thaw_preview_write(p->earlier, p->used, &err), &err);
    keep_folder(p->used, &p->before);
    assert_done(thaw_preview_write(p->later, p->fresh, &err), &err);
    keep_folder(p->fresh, &p->after);
    remove_folder(p->fresh);
    assert_int_equal(p->before.n, thaw_preview_file_count());
    assert_true(count_changed(&p->before, &p->after) >= 5); /* else a lost file would not be seen */
    *state = p;
    return 0;
}

static int tear_down(void **state)
{
    place *p = *state;
    thaw_preview_destroy(p->earlier);
    thaw_preview_destroy(p->later);
    release_kept(&p->before);
    release_kept(&p->after);
    remove_folder(p->used);
    assert_int_equal(rmdir(p->root), 0); /* nothing else was left in it */
    free(p);
    return 0;
}

static void check_untouched(const place *p)
{
    kept_folder now;
    keep_folder(p->used, &now);
    assert_int_equal(count_changed(&p->before, &now), 0);
    release_kept(&now);
    assert_int_equal(thaw_file_look(p->fresh), THAW_FILE_MISSING);
}

static void check_refused(const place *p, thaw_status status, thaw_status expected, const thaw_error *err, long n)
{
    if (status != expected || err->status != expected) {
        print_error("at %ld: %s: %s\n", n, thaw_status_text(status), err->text);
    }
    assert_int_equal(status, expected);
    assert_int_equal(err->status, expected);
    assert_true(err->text[0] != '\0');
    check_untouched(p);
}

/* `later` is now in `dir`, whole, and nothing else is; make all ready for the next test. */
static void check_written(const place *p, const char *dir)
{
    kept_folder now;
    thaw_error err = {0};
    keep_folder(dir, &now);
    assert_int_equal(count_changed(&p->after, &now), 0);
    release_kept(&now);
    if (dir == p->fresh) {
        remove_folder(p->fresh);
    } else {
        assert_done(thaw_preview_write(p->earlier, p->used, &err), &err);
    }
    check_untouched(p);
}

static void writing_survives_any_failing_allocation(void **state)
{
    const place *p = *state;
    const char *dirs[] = {p->used, p->fresh};
    for (int d = 0; d < 2; d++) {
        thaw_status status = THAW_ERR_MEMORY;
        int failures = 0;
        for (long n = 1; status != THAW_OK; n++) {
            thaw_error err = {0};
            assert_true(n < MOST_ALLOCATIONS);
            thaw_allocate_fail_at(n);
            status = thaw_preview_write(p->later, dirs[d], &err);
            thaw_allocate_fail_at(0);
            if (status != THAW_OK) {
                check_refused(p, status, THAW_ERR_MEMORY, &err, n);
                failures++;
            }
        }
        print_message("  %d failures, then success\n", failures);
        assert_true(failures > 20); /* else the hook did not reach the pictures */
        check_written(p, dirs[d]);
    }
}

/* Jansson takes its memory past our allocator; its own hook stands in. */
static long json_countdown;

static void *json_take(size_t n)
{
    return json_countdown > 0 && --json_countdown == 0 ? NULL : malloc(n);
}

static void figures_survive_any_failing_allocation_of_the_json_library(void **state)
{
    const place *p = *state;
    thaw_status status = THAW_ERR_MEMORY;
    int failures = 0;
    json_set_alloc_funcs(json_take, free);
    for (long n = 1; status != THAW_OK; n++) {
        thaw_error err = {0};
        assert_true(n < MOST_ALLOCATIONS);
        json_countdown = n;
        status = thaw_preview_write(p->later, p->fresh, &err);
        json_countdown = 0;
        if (status != THAW_OK) {
            check_refused(p, status, THAW_ERR_MEMORY, &err, n);
            failures++;
        }
    }
    json_set_alloc_funcs(malloc, free);
    print_message("  %d failures, then success\n", failures);
    assert_true(failures > 100);
    check_written(p, p->fresh);
}

/* A limit on the size of files stands in for a full disk: a write is cut short, the next one fails. */
static void set_limit(rlim_t bytes)
{
    struct rlimit limit;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &limit), 0);
    limit.rlim_cur = bytes;
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
}

static void writing_survives_a_disk_full_in_any_file(void **state)
{
    const place *p = *state;
    struct rlimit usual;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &usual), 0);
    void (*handler)(int) = signal(SIGXFSZ, SIG_IGN);
    thaw_error err = {0};
    size_t most = 0;
    for (int i = 0; i < p->after.n; i++) {
        most = p->after.files[i].n > most ? p->after.files[i].n : most;
    }
    /* Each file one byte too long in turn, and the first one at once. */
    for (int i = -1; i < p->after.n; i++) {
        size_t limit = i < 0 ? 0 : p->after.files[i].n - 1;
        thaw_status in_used, in_fresh;
        thaw_error err_used = {0}, err_fresh = {0};
        set_limit(limit);
        in_used = thaw_preview_write(p->later, p->used, &err_used);
        in_fresh = thaw_preview_write(p->later, p->fresh, &err_fresh);
        set_limit(usual.rlim_cur);
        check_refused(p, in_used, THAW_ERR_FILE, &err_used, (long)limit);
        check_refused(p, in_fresh, THAW_ERR_FILE, &err_fresh, (long)limit);
    }
    set_limit(most); /* just enough */
    assert_done(thaw_preview_write(p->later, p->used, &err), &err);
    set_limit(usual.rlim_cur);
    signal(SIGXFSZ, handler);
    check_written(p, p->used);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(writing_survives_any_failing_allocation),
        cmocka_unit_test(figures_survive_any_failing_allocation_of_the_json_library),
        cmocka_unit_test(writing_survives_a_disk_full_in_any_file),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
