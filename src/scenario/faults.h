/* All faults of one file, collected first and reported together in the order of their lines. */
#ifndef THAW_SCENARIO_FAULTS_H
#define THAW_SCENARIO_FAULTS_H

#include <stddef.h>

#include "thawprint/status.h"

typedef struct thaw_faults thaw_faults;

/* Lines and columns count from 1, columns in characters; line 0 is the file as a whole. */
typedef struct thaw_place {
    size_t line, column;
} thaw_place;

/* `path` and `text` must live as long as the faults do. */
thaw_status thaw_faults_create(const char *path, const char *text, size_t n, thaw_faults **out,
                               thaw_error *err);
void thaw_faults_destroy(thaw_faults *faults);

/* `remedy` may be NULL. Beyond a few dozen, faults are only counted. */
void thaw_faults_add(thaw_faults *faults, thaw_place place, const char *remedy, const char *format,
                     ...) __attribute__((format(printf, 4, 5)));
int thaw_faults_count(const thaw_faults *faults);

/* THAW_OK without faults, else THAW_ERR_SCENARIO and the whole report in `err`. */
thaw_status thaw_faults_report(thaw_faults *faults, thaw_error *err);

#endif
