#include "study/lay_judge.h"

#include <math.h>

#include "base/alloc.h"
#include "study/lay_footprint.h"
#include "study/lay_shapes.h"

#define FINE_PLACES 4000           /* on a piece, for the scores that are told */

thaw_status thaw_judge_make(const thaw_pattern_sheet *sheet, const thaw_views *views, int wanted, thaw_judge *out, thaw_error *err)
{
    thaw_status status = THAW_OK;
    out->sheet = sheet;
    out->views = views;
    for (int p = 0; status == THAW_OK && p < sheet->n; p++) {
        out->match[p] = -1;
        for (int w = 0; w < sheet->pieces[p].n_wishes; w++) {
            out->match[p] = sheet->pieces[p].wishes[w].kind == THAW_WISH_MATCH ? w : out->match[p];
        }
        status = thaw_probes_create(&sheet->pieces[p], wanted, &out->probes[p], err);
    }
    return status;
}

void thaw_judge_release(thaw_judge *judge)
{
    for (int p = 0; p < THAW_MAX_PIECES; p++) {
        thaw_probes_release(&judge->probes[p]);
    }
}

void thaw_judge_look(const thaw_judge *judge, const thaw_laid *laid, thaw_seen *out)
{
    const thaw_pattern_piece *piece = &judge->sheet->pieces[laid->piece];
    const int f = thaw_flip_of(laid->is_mirrored, laid->is_turned);
    const bool matches = judge->match[laid->piece] >= 0;
    out->sum = 0.0;
    for (int m = 0; m < judge->views->n && piece->n_wishes > 0; m++) {
        thaw_score_piece(judge->views, m, piece, &judge->probes[laid->piece], laid->i * THAW_LAY_STEP_M, laid->j * THAW_LAY_STEP_M,
                         f & 1, f & 2, out->own[m], matches ? &out->patches[m] : NULL);
        for (int w = 0; w < piece->n_wishes; w++) {
            out->sum += out->own[m][w] / judge->views->n; /* a match has 0 there */
        }
    }
}

/* The other one of the pair, itself if there is none. Those of one piece follow each other. */
static int partner_of(const thaw_judge *judge, const thaw_lay *lay, int self)
{
    const int number = lay->at[self].number, n_cut = judge->sheet->pieces[lay->at[self].piece].n_cut;
    return number % 2 == 0 ? self - 1 : number < n_cut ? self + 1 : self;
}

double thaw_judge_match(const thaw_judge *judge, const thaw_lay *lay, const thaw_seen *seen, int self, int m)
{
    const int other = partner_of(judge, lay, self);
    return other == self ? thaw_score_halves(&seen[self].patches[m]) : thaw_score_pair(&seen[self].patches[m], &seen[other].patches[m]);
}

double thaw_judge_sum(const thaw_judge *judge, const thaw_lay *lay, const thaw_seen *seen, double *weight)
{
    double sum = 0.0, whole = 0.0;
    for (int k = 0; k < lay->n; k++) {
        const thaw_pattern_piece *piece = &judge->sheet->pieces[lay->at[k].piece];
        if (piece->n_wishes == 0) {
            continue;
        }
        double own = seen[k].sum;
        for (int m = 0; judge->match[lay->at[k].piece] >= 0 && m < judge->views->n; m++) {
            own += thaw_judge_match(judge, lay, seen, k, m) / judge->views->n;
        }
        sum += piece->importance * own / piece->n_wishes;
        whole += piece->importance;
    }
    if (weight) {
        *weight = whole;
    }
    return sum;
}

/* Mean, least and most of a wish over the outcomes. */
static void tell_wish(const thaw_judge *judge, thaw_lay *lay, const thaw_seen *seen, int k, int w)
{
    double *out = lay->at[k].wish[w];
    out[0] = 0.0;
    out[1] = INFINITY;
    out[2] = -INFINITY;
    for (int m = 0; m < judge->views->n; m++) {
        const double score = judge->match[lay->at[k].piece] == w ? thaw_judge_match(judge, lay, seen, k, m) : seen[k].own[m][w];
        out[0] += score / judge->views->n;
        out[1] = fmin(out[1], score);
        out[2] = fmax(out[2], score);
    }
}

thaw_status thaw_lay_judge(const thaw_pattern_sheet *sheet, const thaw_views *views, thaw_lay *lay, thaw_error *err)
{
    thaw_judge *judge = thaw_allocate(1, sizeof *judge, err);
    thaw_seen *seen = thaw_allocate((size_t)lay->n, sizeof *seen, err);
    thaw_status status = judge && seen ? thaw_judge_make(sheet, views, FINE_PLACES, judge, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        double weight = 0.0;
        for (int k = 0; k < lay->n; k++) {
            thaw_judge_look(judge, &lay->at[k], &seen[k]);
        }
        for (int k = 0; k < lay->n; k++) {
            const int n = sheet->pieces[lay->at[k].piece].n_wishes;
            lay->at[k].score = n > 0 ? 0.0 : NAN;
            for (int w = 0; w < n; w++) {
                tell_wish(judge, lay, seen, k, w);
                lay->at[k].score += lay->at[k].wish[w][0] / n;
            }
        }
        const double sum = thaw_judge_sum(judge, lay, seen, &weight);
        lay->total = weight > 0.0 ? sum / weight : NAN;
    }
    if (judge) {
        thaw_judge_release(judge);
    }
    thaw_release(seen);
    thaw_release(judge);
    return status;
}
