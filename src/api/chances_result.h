/* What is kept of a set of chances until it is written. */
#ifndef THAW_API_CHANCES_RESULT_H
#define THAW_API_CHANCES_RESULT_H

#include "api/set_folder.h"
#include "study/chance.h"
#include "thawprint/chances.h"

struct thaw_chances {
    thaw_chances_figures figures;
    thaw_set_folder folder;
    thaw_set_summary summary;      /* own */
    thaw_member *members;          /* own, folder.n */
    const thaw_colour *colours[THAW_MAX_DYE_ZONES];
    char title[128], digest[17];
    uint64_t seed;
};

#endif
