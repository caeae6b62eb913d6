/* Rows of tests/outside/data/melt_calibration.csv: figures of melting ice, moist air and wet cloth. */
#ifndef THAW_TESTS_CALIBRATION_H
#define THAW_TESTS_CALIBRATION_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "outside.h"

#define CALIBRATION THAW_SOURCE_DIR "/tests/outside/data/melt_calibration.csv"

enum { CAL_ID, CAL_TOPIC, CAL_SETUP, CAL_QUANTITY, CAL_VALUE, CAL_UNIT, CAL_TOL, CAL_TOL_KIND, CAL_SOURCE, CAL_FIELDS };

typedef struct calibration_row {
    char field[CAL_FIELDS][200];
} calibration_row;

/* The next row of the file; 0 at its end. Fields with commas stand in quotes. */
static inline int calibration_next(FILE *file, calibration_row *row)
{
    char line[2048];
    do {
        if (!fgets(line, sizeof line, file)) {
            return 0;
        }
    } while (line[0] == '#' || strncmp(line, "id,", 3) == 0);
    const char *at = line;
    for (int f = 0; f < CAL_FIELDS; f++) {
        size_t n = 0;
        int quoted = *at == '"';
        at += quoted;
        while (*at && *at != '\n' && *at != (quoted ? '"' : ',')) {
            assert_true(n + 1 < sizeof row->field[f]);
            row->field[f][n++] = *at++;
        }
        row->field[f][n] = '\0';
        at += quoted;
        at += *at == ',';
    }
    return 1;
}

static inline calibration_row calibration_find(const char *id)
{
    calibration_row row;
    FILE *file = fopen(CALIBRATION, "r");
    assert_non_null(file);
    while (calibration_next(file, &row)) {
        if (strcmp(row.field[CAL_ID], id) == 0) {
            fclose(file);
            return row;
        }
    }
    fclose(file);
    print_error("the table has no row %s\n", id);
    fail();
    return row;
}

/* Ours against the row, within the row's own tolerance. */
static inline void calibration_close(const char *id, double ours)
{
    calibration_row row = calibration_find(id);
    char check[512], unit[16];
    double value = strtod(row.field[CAL_VALUE], NULL), tolerance = strtod(row.field[CAL_TOL], NULL);
    snprintf(unit, sizeof unit, "%.15s", strcmp(row.field[CAL_UNIT], "-") == 0 ? "" : row.field[CAL_UNIT]);
    assert_true(strcmp(row.field[CAL_TOL_KIND], "abs") == 0 || strcmp(row.field[CAL_TOL_KIND], "rel") == 0);
    tolerance *= strcmp(row.field[CAL_TOL_KIND], "rel") == 0 ? fabs(value) : 1.0;
    snprintf(check, sizeof check, "%s: %s, %s", id, row.field[CAL_QUANTITY], row.field[CAL_SETUP]);
    outside_close(check, row.field[CAL_SOURCE], unit, value, ours, tolerance);
}

#endif
