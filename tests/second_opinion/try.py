import sys,time,cProfile
from scenario import read
from integrate import Run
from findings import findings, judged
for p in sys.argv[1:]:
    t=time.time(); r=Run(read(p)).go(); f=findings(r)
    print(p, "%.1f s"%(time.time()-t), judged(r,f["lost_s"]), r.closure)
    for k,v in f.items(): print("  ",k,v)
    for e in sorted(r.events): print("   ",e)
    print(len(r.trace)); [print("   ",c) for c in r.changes]
