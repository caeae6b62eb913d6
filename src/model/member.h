/* One member of a set of runs, kept small: its numbers and what its dry cloth looks like. */
#ifndef THAW_MODEL_MEMBER_H
#define THAW_MODEL_MEMBER_H

#include <stdbool.h>
#include <stdint.h>

#define THAW_MEMBER_NUMBERS 16
#define THAW_LEAD_WHITE 255        /* no colour leads: the place is white */

typedef struct thaw_member {
    bool came_through;             /* false: its numerics failed, and nothing else here counts */
    int n_numbers;
    double numbers[THAW_MEMBER_NUMBERS]; /* SI, in the order of study/headline.h */
    int nx, ny;                    /* cells */
    double cell_m;
    uint8_t *rgb;                  /* own, 3 a cell: the dry cloth, sRGB */
    uint8_t *lead;                 /* own, 1 a cell: which colour gives most of the depth */
} thaw_member;

#endif
