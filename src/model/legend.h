/* What the shades of a fold map mean: made by look/, printed by output/. */
#ifndef THAW_MODEL_LEGEND_H
#define THAW_MODEL_LEGEND_H

#define THAW_LEGEND_STEPS 9

/* Step i stands for layers[i] layers of cloth lying above; on the plan it stands for layers[i] + 1
 * layers in all. The last step also stands for more. */
typedef struct thaw_legend {
    int n;
    int layers[THAW_LEGEND_STEPS];
    unsigned char rgb[THAW_LEGEND_STEPS][3];
    double line_m; /* distance of the lines of equal place on the tray */
} thaw_legend;

#endif
