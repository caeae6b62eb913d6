/* One piece: from what is drawn to what is cut. */
#ifndef THAW_SCENARIO_PATTERN_PIECE_H
#define THAW_SCENARIO_PATTERN_PIECE_H

#include "model/pattern.h"
#include "scenario/reader.h"
#include "scenario/svg.h"

typedef enum thaw_fold_side { THAW_FOLD_NONE, THAW_FOLD_LEFT, THAW_FOLD_RIGHT, THAW_FOLD_TOP, THAW_FOLD_BOTTOM } thaw_fold_side;

/* How a piece is drawn. */
typedef struct thaw_draft {
    thaw_polygon outline;          /* own, m */
    thaw_fold_side fold;           /* the side of its box that lies on the fold of the cloth */
    double grain_rad;              /* clockwise from upright, as drawn */
    double allowance_m;
} thaw_draft;

/* Sets outline, seam and down of the piece. False with a reason where the shape is no piece; `starved` if memory ran out. */
bool thaw_draft_cut(const thaw_draft *draft, thaw_pattern_piece *out, bool *starved, char *why, size_t why_size);

/* What entries of the list share. */
typedef struct thaw_piece_reader {
    const thaw_reader *reader;
    const thaw_drawing *drawing;   /* NULL: none */
    double unit_m;                 /* of plain numbers */
    double allowance_m;
    bool starved;
} thaw_piece_reader;

/* False with faults filed. */
bool thaw_piece_read(thaw_piece_reader *from, const yaml_node_t *node, int number, thaw_pattern_piece *out);

#endif
