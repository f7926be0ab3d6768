package nest1d
import ("testing";"context";"time";"os";"strconv")
func TestProf(t *testing.T){
 pieces,_:=strconv.Atoi(os.Getenv("PIECES")); if pieces==0 {t.Skip()}
 lengths,_:=strconv.Atoi(os.Getenv("LENGTHS")); seed,_:=strconv.Atoi(os.Getenv("SEED"))
 p:=workshop(uint64(seed),pieces,lengths)
 start:=time.Now()
 ctx,c:=context.WithTimeout(context.Background(),60*time.Second); defer c()
 res,_:=Solve(ctx,p,Options{Progress:func(q Progress){t.Logf("%v %+v",time.Since(start).Round(time.Millisecond),q)}})
 t.Logf("%+v %+v %v",res.Cost,res.Work,time.Since(start))
}
