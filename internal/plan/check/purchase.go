package check

func (a *audit) purchase(pairs []*material) {
	if a.plan.PurchaseProof != nil {
		return
	}
	bound := whole(0)
	for i := range a.plan.Materials {
		bound = bound.plus(whole(int64(a.plan.Materials[i].Goals.Cost.Bound)))
	}
	if !bound.equals(int64(a.plan.Bound)) {
		a.find("plan", "the least possible total is given as %s, the materials' bounds make another sum", a.plan.Bound)
	}
}
