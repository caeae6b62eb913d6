/* Painted pictures that a scenario names as areas: read once, tied to paints, kept as amounts. */
#ifndef THAW_SCENARIO_PICTURES_H
#define THAW_SCENARIO_PICTURES_H

#include "base/picture.h"
#include "model/specification.h"
#include "scenario/faults.h"

#define THAW_MAX_PICTURES 16

typedef struct thaw_picture_file {
    char name[64];                 /* without folders: how the resolved scenario names it */
    char *path;                    /* own */
    char *bytes;                   /* own: the file as it was read */
    size_t n;
    uint32_t sum;
    thaw_picture picture;          /* own */
} thaw_picture_file;

/* An area that uses a picture, while the file is read. */
typedef struct thaw_picture_user {
    thaw_area *area;
    thaw_place place;
    int file;
} thaw_picture_user;

#define THAW_MAX_PICTURE_USERS (THAW_MAX_ICE_ZONES + THAW_MAX_DYE_ZONES + THAW_MAX_SODA_ZONES + THAW_MAX_FOLDS)

typedef struct thaw_pictures thaw_pictures;
struct thaw_pictures {
    int n;
    thaw_picture_file files[THAW_MAX_PICTURES];
    int n_users;
    thaw_picture_user users[THAW_MAX_PICTURE_USERS];
    thaw_mask masks[THAW_MAX_PICTURE_USERS]; /* own: one a user */
    bool starved;                  /* memory ran out */
};

/* Reads `name`, a path from the folder of the scenario `scenario_path`, for an area; what is wrong becomes a fault.
 * area->paint is set by the caller. */
bool thaw_pictures_use(thaw_pictures *pictures, const char *scenario_path, const char *name, thaw_place place,
                       thaw_area *area, thaw_faults *faults);
/* When all areas are known: makes their masks. Grey areas hold as much as a pixel is dark; a paint has the pixels
 * that are near it, and nearer than to white and to every other paint named for the same picture. */
void thaw_pictures_finish(thaw_pictures *pictures, thaw_faults *faults);
void thaw_pictures_release(thaw_pictures *pictures);

#endif
