/* One scenario, many throws of the dice: members run one by one into a folder, then what they have in common. */
#ifndef THAWPRINT_CHANCES_H
#define THAWPRINT_CHANCES_H

#include <stdbool.h>

#include "thawprint/preview.h"
#include "thawprint/scenario.h"
#include "thawprint/status.h"

#define THAW_CHANCES_MOST 10000
#define THAW_CHANCES_NUMBERS 16

typedef struct thaw_chances_options {
    int n;                         /* members of the whole set, 2 .. THAW_CHANCES_MOST */
    bool only_luck;                /* seeds differ; room, ice, cloth and dye are as the scenario says */
    int part, n_parts;             /* run the members of this part only, 1 .. n_parts; 0: all */
    int threads;                   /* 0: as many as the machine has */
    thaw_progress_fn progress;     /* may be NULL */
    void *user;
} thaw_chances_options;

/* Run the members that are not yet in `dir`/members, and keep each there as soon as it is done: a set that was stopped
 * goes on where it was. The resolved scenario and the plan of the set lie there too, so that parts can be joined.
 * *n_run: how many were run now. On failure, finished members stay. */
thaw_status thaw_chances_run(const thaw_scenario *scenario, const thaw_chances_options *options, const char *dir,
                             int *n_run, thaw_error *err);

/* Plan of the set whose members are in `dir`/members: its scenario, n and only_luck. */
thaw_status thaw_chances_open(const char *dir, thaw_scenario **scenario, thaw_chances_options *plan, thaw_error *err);

/* Take over the members of the same set that are in `from`/members. *n_taken: how many there were. */
thaw_status thaw_chances_take(const thaw_scenario *scenario, const thaw_chances_options *options, const char *from,
                              const char *dir, int *n_taken, thaw_error *err);

typedef struct thaw_chances thaw_chances;

typedef struct thaw_chance_number {
    const char *key, *name, *unit;
    int digits;                    /* after the point, for people */
    double p10, p50, p90;          /* in the unit; infinite: beyond what was run; NaN: means nothing here */
} thaw_chance_number;

typedef struct thaw_chances_figures {
    int n, n_came_through;
    int typical;                   /* member, from 1 */
    int n_numbers;
    thaw_chance_number numbers[THAW_CHANCES_NUMBERS];
} thaw_chances_figures;

/* All members of the set must be there. The caller destroys *out; untouched on failure. */
thaw_status thaw_chances_gather(const thaw_scenario *scenario, const thaw_chances_options *options, const char *dir,
                                thaw_chances **out, thaw_error *err);
void thaw_chances_destroy(thaw_chances *chances);
const thaw_chances_figures *thaw_chances_get_figures(const thaw_chances *chances);
/* Puts P10 and P90 of the set into the ranges of a preview of the same scenario. */
void thaw_chances_set_ranges(const thaw_chances *chances, thaw_preview *preview);

/* Write the pictures and the table into `dir`, all or none; then the members' folder goes, unless asked to stay. */
thaw_status thaw_chances_write(const thaw_chances *chances, const char *dir, bool keep_members, thaw_error *err);
/* The same together with all files of the preview: so that no moment has the one new and the other old. */
thaw_status thaw_chances_write_with(const thaw_chances *chances, const thaw_preview *preview, const char *dir,
                                    bool keep_members, thaw_error *err);
int thaw_chances_file_count(void);
const char *thaw_chances_file_name(int i);
const char *thaw_chances_file_meaning(int i);

#endif
