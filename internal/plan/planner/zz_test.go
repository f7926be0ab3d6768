package planner_test
import ("testing";"time";"fmt";"context";"pgregory.net/rapid";"sawbill/internal/plan/planner")
func TestZZ(t *testing.T){
 n:=0; st := map[string]int{}; var worst time.Duration
 rapid.Check(t, func(t *rapid.T){
  s := drawJob(t,false); s.deals()
  t0:=time.Now()
  p, err := planner.Make(context.Background(), s.job, planner.Options{Effort: planner.Quick})
  d:=time.Since(t0); if d>worst {worst=d; fmt.Println(d, len(s.job.Offers), len(s.job.Pieces), len(s.job.Panels))}
  n++
  if p!=nil {st[string(p.Status)]++} else {st[fmt.Sprintf("%T",err)]++; if fmt.Sprintf("%T",err)!="*planner.NoPlan" {fmt.Println(err)}}
 })
 fmt.Println(n, st)
}
