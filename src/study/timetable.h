/* When to do what, from the figures of a run and coarse what-ifs beside it. */
#ifndef THAW_STUDY_TIMETABLE_H
#define THAW_STUDY_TIMETABLE_H

#include "model/specification.h"
#include "thawprint/supplies.h"

/* Coarse runs of the same luck: as it stands, in a colder room, with half the powder. */
typedef struct thaw_what_ifs {
    bool has_colder;               /* a room of 1 degC or less is not computed */
    double colder_k;               /* temperature of that room at the start */
    thaw_preview_figures usual, colder, half;
} thaw_what_ifs;

typedef bool (*thaw_what_ifs_progress)(void *user, double share);

/* Run them side by side. They may take a day longer than the file asks, so that slow melts end. */
thaw_status thaw_what_ifs_run(const thaw_specification *spec, thaw_what_ifs_progress progress, void *user,
                              thaw_what_ifs *out, thaw_error *err);

/* figures->ice_gone and ready are set, in s after the ice; `run` is the full run. */
void thaw_timetable_fill(const thaw_specification *spec, const thaw_preview_figures *run, const thaw_what_ifs *what_ifs,
                         thaw_supplies_figures *figures);

#endif
