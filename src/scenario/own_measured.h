/* A file with one cloth of one's own whose K_s and h_e were measured. */
#ifndef THAW_SCENARIO_OWN_MEASURED_H
#define THAW_SCENARIO_OWN_MEASURED_H

#include <stdbool.h>

#include "model/materials.h"
#include "scenario/writer.h"
#include "thawprint/status.h"

/* What a strip test says of a cloth, in the figures of a cloth. */
typedef struct thaw_measured_cloth {
    double conductivity_m_s, conductivity_spread;
    double entry_head_m, entry_low, entry_high;
} thaw_measured_cloth;

/* Can a cloth of one's own have that name? THAW_ERR_ARGUMENT with what is allowed, if not. */
thaw_status thaw_measured_check_name(const char *name, thaw_error *err);
/* Figures are brought within what a file may say of a cloth like that. True if none had to be. */
bool thaw_measured_fit(thaw_measured_cloth *measured, const thaw_cloth_kind *like);
/* The entry. A row of the table goes in as `like`; a cloth of one's own in full, so that the file stands alone. */
void thaw_measured_write(thaw_writer *w, const char *name, const thaw_cloth_kind *like, bool is_own,
                         const thaw_measured_cloth *measured);

#endif
