/* Watching a run: pictures of the bundle under its ice and of the cloth, through time. */
#ifndef THAW_STUDY_FRAMES_H
#define THAW_STUDY_FRAMES_H

#include "model/image.h"
#include "study/outcome.h"

#define THAW_FRAMES_MOST 48
#define THAW_FRAME_SIDE 360        /* pixels of each of the two squares */

typedef struct thaw_frame {
    thaw_image image;              /* own: 2 x 1 squares */
    double time_s, ice_kg;         /* ice that lies there */
    double wet_share;              /* share of the pores of the whole cloth that holds water */
} thaw_frame;

typedef struct thaw_frames {
    int wanted;                    /* 2 .. THAW_FRAMES_MOST */
    int next;                      /* first of the wanted times that is not yet reached */
    const thaw_outcome *work;
    int n;
    thaw_frame frames[THAW_FRAMES_MOST];
} thaw_frames;

/* Has the engine of *work, prepared, take frames as it runs: the first at the start, the last at the rinse, denser at
 * first, when much happens. The run itself stays the same to the bit. Release with thaw_frames_release. */
void thaw_frames_watch(thaw_frames *frames, int wanted, thaw_outcome *work);
void thaw_frames_release(thaw_frames *frames);

#endif
