* Every kind of row, range and bound, in free MPS. By hand:
*   e1: x + y = 4, range 2        →  4 <= x + y <= 6
*   e2: x - y = 1, range -3       → -2 <= x - y <= 1
*   l1: x + z <= 10, range 4      →  6 <= x + z <= 10
*   g1: y + w >= -5, range 7      → -5 <= y + w <= 2
*   x in [0, 4], y free, z fixed at 3, w in [-inf, -1] (UP below zero)
*   v in [2, 9], u in [-inf, inf] from MI, b binary, i integer in [-2, 2]
* x + z >= 6 gives x >= 3; x - y <= 1 gives y >= x - 1; w >= -5 - y.
* min x + 2y + w + v + 0.5 with u = 0 forced by row r0:
* x = 3, y = 2 (x + y = 5 in range), w = -7: 3 + 4 - 7 + 2 + 0.5 = 2.5;
* per unit of y above, w falls as much as y rises and 2y - y > 0 costs more.
* b and i have cost -1 and 1: -1 - 2, so the optimum is -0.5.
NAME bounds
ROWS
 N cost
 N spare
 E e1
 E e2
 L l1
 G g1
 E r0
COLUMNS
 x cost 1 e1 1
 x e2 1 l1 1
 x spare 9
 y cost 2 e1 1
 y e2 -1 g1 1
 z l1 1
 w cost 1 g1 1
 v cost 1
 u r0 1
 m 'MARKER' 'INTORG'
 b cost -1
 i cost 1
 m 'MARKER' 'INTEND'
RHS
 rhs cost -0.5 e1 4
 rhs e2 1 l1 10
 rhs g1 -5
RANGES
 rng e1 2 e2 -3
 rng l1 4 g1 7
BOUNDS
 UP bnd x 4
 FR bnd y
 FX bnd z 3
 UP bnd w -1
 LO bnd v 2
 UP bnd v 9
 MI bnd u
 BV bnd b
 LI bnd i -2
 UI bnd i 2
ENDATA
