"""The lot of fifteen places of calib/evidence/surveys.go, worked out in plain
Python: the log law, the effect of pressure, mean, s, interval and trends. The
factor is that of survey_oracle.csv. Run by hand; no test runs it.

    python3 testdata/published/survey_lot.py
"""
import math
R=[5.012,4.998,4.951, 5.008,4.989,4.948, 5.015,5.001,4.957, 5.003,4.992,4.944, 5.010,4.996,4.953]
run=[(1,5.412),(2,5.305),(5,5.158),(10,5.049),(20,4.941)]
x=[math.log(p) for p,_ in run]; y=[t for _,t in run]; n=len(x)
mx=math.fsum(x)/n; my=math.fsum(y)/n
sxx=math.fsum((a-mx)**2 for a in x); b=math.fsum((a-mx)*(c-my) for a,c in zip(x,y))/sxx; a0=my-b*mx
s=math.sqrt(math.fsum((c-a0-b*a)**2 for a,c in zip(x,y))/(n-2)); ub=s/math.sqrt(sxx)
raw=[r-(0.010+(r-4)/2*0.010) for r in R]
m=math.fsum(raw)/15
p=40+(m-4)/2*4
corr=b*math.log(40/p)
T=[t+corr for t in raw]
mean=math.fsum(T)/15
sd=math.sqrt(math.fsum((t-mean)**2 for t in T)/14)
k=2.9649405773607
print('a',a0,'b',b,'ub',ub); print('p',p,'slope',b/p,'corr',corr); print('mean',mean,'s',sd,'low',mean-k*sd,'high',mean+k*sd)
cols=[]
for i in range(15):
    c,r=i%3,i//3
    X=(c+.5)/3;Y=(r+.5)/5
    cols.append([1,X,Y,max(abs(2*X-1),abs(2*Y-1))])
A=[[math.fsum(row[i]*row[j] for row in cols) for j in range(4)]+[math.fsum(row[i]*t for row,t in zip(cols,T))] for i in range(4)]
for i in range(4):
    pv=max(range(i,4),key=lambda q:abs(A[q][i])); A[i],A[pv]=A[pv],A[i]
    for j in range(4):
        if j!=i:
            f=A[j][i]/A[i][i]; A[j]=[u-f*v for u,v in zip(A[j],A[i])]
beta=[A[i][4]/A[i][i] for i in range(4)]
xs=[[c[j] for c in cols] for j in range(1,4)]
print('effects',[beta[j+1]*(max(xs[j])-min(xs[j])) for j in range(3)])
