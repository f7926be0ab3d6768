# The cheapest purchase of a whole job, in GNU MathProg.
#
# The data list every way to fill one bar or sheet that cannot take another
# piece (patterns). An order is one supplier's in one way home. All money is in cents.

set SUPPLIERS;
param minimum{SUPPLIERS};              # of the goods of an order
param cut{SUPPLIERS};                  # price of a counted cut
param free{SUPPLIERS};                 # cuts that cost nothing

set ORDERS;
param placed_with{ORDERS} symbolic in SUPPLIERS;
param fee{ORDERS};

set MATERIALS;
param spare{MATERIALS};
param percent{MATERIALS};              # hundredths of a percent

set ITEMS;
param of{ITEMS} symbolic in MATERIALS;
param demand{ITEMS};
param squares{ITEMS, SUPPLIERS};       # counted cuts of one
param each{ITEMS, SUPPLIERS};          # price of cutting one, beside them

set OFFERS;
param made_of{OFFERS} symbolic in MATERIALS;
param sold_by{OFFERS} symbolic in SUPPLIERS;
param pack{OFFERS};
param most{OFFERS};                    # bars or sheets that can be of use or be had

set TIERS dimen 2;                     # offer and number
param from{TIERS};
param to{TIERS};
param price{TIERS};                    # of a pack

set PATTERNS;
param offer{PATTERNS} symbolic in OFFERS;
param order{PATTERNS} symbolic in ORDERS;
param yard{PATTERNS};                  # cuts at the yard
param holds{PATTERNS, ITEMS} default 0;

set SPARES within OFFERS cross ORDERS; # what can serve as a spare

param sheet{MATERIALS, SUPPLIERS};     # handling of each one cut
param once{MATERIALS, SUPPLIERS};      # set-up

set MARKS;                             # everything of a material, cut and ready
param marks_of{MARKS} symbolic in MATERIALS;
param marks_by{MARKS} symbolic in ORDERS;
param marks_price{MARKS};

var place{ORDERS} binary;
var filled{p in PATTERNS} integer >= 0, <= most[offer[p]];
var cutting{ITEMS, SUPPLIERS} integer >= 0;
var reached{TIERS} binary;
var packs{TIERS} integer >= 0;
var kept{SPARES} integer >= 0;
var share{MATERIALS} integer >= 0;
var begun{MATERIALS, SUPPLIERS} binary;
var ready{MARKS} binary;
var short{SUPPLIERS} >= 0;
var paid{SUPPLIERS} >= 0;

minimize total:
    sum{o in ORDERS} fee[o] * place[o]
  + sum{(f, t) in TIERS} price[f, t] * packs[f, t]
  + sum{k in MARKS} marks_price[k] * ready[k]
  + sum{s in SUPPLIERS} (short[s] + cut[s] * paid[s])
  + sum{i in ITEMS, s in SUPPLIERS} each[i, s] * cutting[i, s]
  + sum{p in PATTERNS} sheet[made_of[offer[p]], sold_by[offer[p]]] * filled[p]
  + sum{m in MATERIALS, s in SUPPLIERS} once[m, s] * begun[m, s];

one_way{s in SUPPLIERS}: sum{o in ORDERS: placed_with[o] = s} place[o] <= 1;

everything{i in ITEMS}:
    sum{s in SUPPLIERS} cutting[i, s] + demand[i] * sum{k in MARKS: marks_of[k] = of[i]} ready[k] = demand[i];
enough{i in ITEMS, s in SUPPLIERS}:
    sum{p in PATTERNS: sold_by[offer[p]] = s} holds[p, i] * filled[p] >= cutting[i, s];

ordered{p in PATTERNS}: filled[p] <= most[offer[p]] * place[order[p]];
ordered_ready{k in MARKS}: ready[k] <= place[marks_by[k]];
ordered_spare{(f, o) in SPARES}: kept[f, o] <= most[f] * place[o];

one_tier{f in OFFERS}: sum{(f, t) in TIERS} reached[f, t] <= 1;
tier_from{(f, t) in TIERS}: pack[f] * packs[f, t] >= from[f, t] * reached[f, t];
tier_to{(f, t) in TIERS}: pack[f] * packs[f, t] <= to[f, t] * reached[f, t];
bought{f in OFFERS}:
    sum{p in PATTERNS: offer[p] = f} filled[p] + sum{(f, o) in SPARES} kept[f, o]
      <= sum{(f, t) in TIERS} pack[f] * packs[f, t];
goods_ordered{(f, t) in TIERS}:
    reached[f, t] <= sum{o in ORDERS: placed_with[o] = sold_by[f]} place[o];

spares{m in MATERIALS}:
    sum{(f, o) in SPARES: made_of[f] = m} kept[f, o]
      >= spare[m] * (1 - sum{k in MARKS: marks_of[k] = m} ready[k]) + share[m];
shares{m in MATERIALS}:
    10000 * share[m] >= percent[m] * sum{p in PATTERNS: made_of[offer[p]] = m} filled[p];

begins{p in PATTERNS}: filled[p] <= most[offer[p]] * begun[made_of[offer[p]], sold_by[offer[p]]];

small_order{s in SUPPLIERS}:
    short[s] >= minimum[s] * sum{o in ORDERS: placed_with[o] = s} place[o]
      - sum{(f, t) in TIERS: sold_by[f] = s} price[f, t] * packs[f, t]
      - sum{k in MARKS: placed_with[marks_by[k]] = s} marks_price[k] * ready[k];

cuts{s in SUPPLIERS}:
    paid[s] >= sum{i in ITEMS} squares[i, s] * cutting[i, s]
      + sum{p in PATTERNS: sold_by[offer[p]] = s} yard[p] * filled[p] - free[s];

solve;
printf "total %.3f\n", total;
end;
