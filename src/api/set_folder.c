#include "api/set_folder.h"

#include <stdio.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "output/member_file.h"

#define MEMBER_MOST ((size_t)1 << 30)
#define PLAN_MOST 256
#define PLAN "plan.txt"

static void member_name(const thaw_set_folder *folder, int m, char *out, size_t size)
{
    snprintf(out, size, "%05d-of-%05d", m + 1, folder->n);
}

static thaw_member_place place_of(const thaw_set_folder *folder, int m)
{
    return (thaw_member_place){folder->set, m + 1, folder->n};
}

thaw_status thaw_set_folder_name(const thaw_scenario *scenario, const thaw_chances_options *options, const char *dir,
                                 thaw_set_folder *out, thaw_error *err)
{
    char digest[17];
    thaw_set_folder f = {.n = options->n};
    const int length = snprintf(f.path, sizeof f.path, "%s/members", dir);
    if (length < 0 || (size_t)length >= sizeof f.path - 64) {
        return thaw_fail(err, THAW_ERR_FILE, "the name of the folder is too long");
    }
    thaw_scenario_digest(scenario, digest);
    snprintf(f.set, sizeof f.set, "%s-%s", digest, options->only_luck ? "luck" : "all");
    *out = f;
    return THAW_OK;
}

thaw_status thaw_set_folder_load(const thaw_set_folder *folder, int m, bool *found, thaw_member *out, thaw_error *err)
{
    char name[32], path[sizeof folder->path + 40], *bytes = NULL;
    size_t n = 0;
    bool whole = false;
    member_name(folder, m, name, sizeof name);
    snprintf(path, sizeof path, "%s/%s", folder->path, name);
    *found = false;
    if (thaw_file_look(path) != THAW_FILE_REGULAR) {
        return THAW_OK;
    }
    thaw_status status = thaw_file_read(path, MEMBER_MOST, &bytes, &n, &whole, err);
    if (status != THAW_OK) {
        return status;
    }
    const thaw_member_place place = place_of(folder, m);
    status = whole ? thaw_member_decode(bytes, n, &place, out, NULL) : THAW_ERR_FILE;
    thaw_release(bytes);
    if (status == THAW_ERR_MEMORY) {
        return thaw_fail(err, status, "not enough memory for a member of a set");
    }
    *found = status == THAW_OK;
    return THAW_OK;
}

thaw_status thaw_set_folder_store(const thaw_set_folder *folder, int m, const thaw_member *member, thaw_error *err)
{
    char name[32], *bytes = NULL;
    size_t n = 0;
    const thaw_member_place place = place_of(folder, m);
    member_name(folder, m, name, sizeof name);
    thaw_status status = thaw_member_encode(member, &place, &bytes, &n, err);
    if (status == THAW_OK) {
        status = thaw_file_replace(folder->path, name, bytes, n, err);
    }
    thaw_release(bytes);
    return status;
}

thaw_status thaw_set_folder_write_plan(const thaw_set_folder *folder, const thaw_chances_options *options, thaw_error *err)
{
    char text[PLAN_MOST];
    const int n = snprintf(text, sizeof text, "members %d\nonly-luck %d\n", options->n, options->only_luck);
    return thaw_file_replace(folder->path, PLAN, text, (size_t)n, err);
}

thaw_status thaw_set_folder_read_plan(const char *dir, thaw_chances_options *out, thaw_error *err)
{
    char path[4096 + 32], *text = NULL;
    size_t n = 0;
    bool whole = false;
    int members = 0, luck = 0, used = 0;
    snprintf(path, sizeof path, "%s/members/%s", dir, PLAN);
    thaw_status status = thaw_file_read(path, PLAN_MOST, &text, &n, &whole, err);
    if (status != THAW_OK) {
        return status;
    }
    const bool is_good = whole && sscanf(text, "members %9d\nonly-luck %1d\n%n", &members, &luck, &used) == 2 &&
                         (size_t)used == n && members >= 2 && members <= THAW_CHANCES_MOST;
    thaw_release(text);
    if (!is_good) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: is not the plan of a set of chances", path);
    }
    *out = (thaw_chances_options){.n = members, .only_luck = luck == 1};
    return THAW_OK;
}

thaw_status thaw_set_folder_remove(const thaw_set_folder *folder, thaw_error *err)
{
    char name[32], path[sizeof folder->path + 40];
    thaw_status status = THAW_OK;
    for (int m = 0; m < folder->n && status == THAW_OK; m++) {
        member_name(folder, m, name, sizeof name);
        snprintf(path, sizeof path, "%s/%s", folder->path, name);
        status = thaw_file_remove(path, err);
    }
    if (status == THAW_OK) {
        snprintf(path, sizeof path, "%s/%s", folder->path, PLAN);
        status = thaw_file_remove(path, err);
    }
    /* Another's files may be in it: then it stays. */
    thaw_file_remove(folder->path, NULL);
    return status;
}
