* Wyndor Glass Co., Hillier & Lieberman, Introduction to Operations Research,
* chapter 3, as a minimisation, in fixed MPS with names that hold blanks:
* the optimum is -36 at 2 doors and 6 windows.
NAME          WYNDOR
ROWS
 N  PROFIT
 L  PLANT 1
 L  PLANT 2
 L  PLANT 3
COLUMNS
    DOORS     PROFIT              -3.0   PLANT 1              1.0
    DOORS     PLANT 3              3.0
    WINDOWS   PROFIT              -5.0   PLANT 2              2.0
    WINDOWS   PLANT 3              2.0
RHS
    HOURS     PLANT 1              4.0   PLANT 2             12.0
    HOURS     PLANT 3             18.0
ENDATA
