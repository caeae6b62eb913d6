/* How much of the places named for ice has ice over it when it is laid on. */
#ifndef THAW_STUDY_ICE_COVER_H
#define THAW_STUDY_ICE_COVER_H

#include "model/specification.h"
#include "thawprint/status.h"

typedef struct thaw_ice_cover {
    double area_m2;                /* plan area of cloth in the places named */
    double share;                  /* of it under ice at the start */
    double zone_kg[THAW_MAX_ICE_ZONES]; /* laid on in each zone: a depth comes to so much */
} thaw_ice_cover;

/* Folds the cloth and lays the ice; cells of spec. */
thaw_status thaw_ice_cover_find(const thaw_specification *spec, thaw_ice_cover *out, thaw_error *err);

#endif
