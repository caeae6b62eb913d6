/* How far dye has got along hanging cloth, from time to time while a run goes on. Both fronts are measured as the
 * climb is (look/climb.h), in the median column of the cloth, from the ice line:
 *   wet     all dye that is there: what the eye sees on the work
 *   rinsed  fixed dye only: where the dye would end if the cloth were rinsed at that moment */
#ifndef THAW_STUDY_FRONTS_H
#define THAW_STUDY_FRONTS_H

#include "model/specification.h"
#include "study/outcome.h"

#define THAW_FRONT_TIMES 25

/* Row 0: all dyes together; row 1 + c: dye c as if it were alone. A value: owns nothing. */
typedef struct thaw_fronts {
    int n_dyes, n;                 /* points so far */
    double t_s[THAW_FRONT_TIMES];  /* from 0 to the rinse, denser at first, when dye runs fastest; noted by the first step that reaches it */
    double wet_m[THAW_MAX_COMPONENTS + 1][THAW_FRONT_TIMES];
    double rinsed_m[THAW_MAX_COMPONENTS + 1][THAW_FRONT_TIMES];
} thaw_fronts;

void thaw_fronts_begin(thaw_fronts *fronts, const thaw_outcome *work);
/* After a step: notes the fronts if it is time. */
thaw_status thaw_fronts_note(thaw_fronts *fronts, const thaw_outcome *work, thaw_error *err);

#endif
