#include "api/set_folder.h"

#include <stdio.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "output/member_file.h"
#include "study/chance.h"

#define MEMBER_MOST ((size_t)1 << 30)
#define PLAN_MOST 256
#define PLAN "plan.txt"
#define SCENARIO "scenario.yaml"

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
    for (f.n_pictures = 0; f.n_pictures < scenario->pictures->n; f.n_pictures++) {
        strcpy(f.pictures[f.n_pictures], scenario->pictures->files[f.n_pictures].name);
    }
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
    thaw_member member = {0};
    status = whole ? thaw_member_decode(bytes, n, &place, &member, NULL) : THAW_ERR_FILE;
    thaw_release(bytes);
    if (status == THAW_ERR_MEMORY) {
        return thaw_fail(err, status, "not enough memory for a member of a set");
    }
    *found = status == THAW_OK && member.n_numbers == thaw_headline_count();
    if (*found) {
        *out = member;
    } else {
        thaw_member_release(&member);
    }
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

static thaw_status add_plan(const thaw_scenario *scenario, const thaw_chances_options *options, thaw_batch *batch,
                            thaw_error *err)
{
    char text[PLAN_MOST], *resolved = NULL;
    const int n = snprintf(text, sizeof text, "members %d\nonly-luck %d\n", options->n, options->only_luck);
    thaw_status status = thaw_scenario_resolved(scenario, &resolved, err);
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, SCENARIO, resolved, strlen(resolved), err);
    }
    for (int i = 0; status == THAW_OK && i < scenario->pictures->n; i++) {
        const thaw_picture_file *file = &scenario->pictures->files[i];
        status = thaw_batch_add(batch, file->name, file->bytes, file->n, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, PLAN, text, (size_t)n, err);
    }
    thaw_text_free(resolved);
    return status;
}

thaw_status thaw_set_folder_write_plan(const thaw_set_folder *folder, const thaw_scenario *scenario,
                                       const thaw_chances_options *options, thaw_error *err)
{
    thaw_batch *batch = NULL;
    thaw_status status = thaw_batch_create(folder->path, &batch, err);
    if (status == THAW_OK) {
        status = add_plan(scenario, options, batch, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    thaw_batch_destroy(batch);
    return status;
}

thaw_status thaw_set_folder_read_plan(const char *dir, thaw_chances_options *out, char scenario_path[4096 + 32],
                                      thaw_error *err)
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
    snprintf(scenario_path, sizeof path, "%s/members/%s", dir, SCENARIO);
    *out = (thaw_chances_options){.n = members, .only_luck = luck == 1};
    return THAW_OK;
}

static thaw_status move_up(const thaw_set_folder *folder, const char *name, thaw_error *err)
{
    char from[sizeof folder->path + 80], to[sizeof from + 4];
    snprintf(from, sizeof from, "%s/%s", folder->path, name);
    snprintf(to, sizeof to, "%s/../%s", folder->path, name);
    return thaw_file_move(from, to, err);
}

thaw_status thaw_set_folder_remove(const thaw_set_folder *folder, thaw_error *err)
{
    char name[32], path[sizeof folder->path + 40];
    thaw_status status = move_up(folder, SCENARIO, err);
    for (int i = 0; i < folder->n_pictures && status == THAW_OK; i++) {
        status = move_up(folder, folder->pictures[i], err);
    }
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
