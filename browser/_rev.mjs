import { chromium } from "playwright-core";
import { readFileSync } from "node:fs";
if (process.argv[2]==="launch"){
  const {start}=await import("./browser.mjs").catch(e=>({start:null}));
  const b = await chromium.launchPersistentContext("/tmp/rev/prof",{executablePath:process.env.CHROMIUM,headless:true,viewport:{width:360,height:740},isMobile:true,hasTouch:true,deviceScaleFactor:1.5,acceptDownloads:true,args:["--no-sandbox","--disable-gpu","--no-first-run","--remote-debugging-port=7906","--disable-background-networking"]});
  await new Promise(r=>setTimeout(r,1800e3)); await b.close(); process.exit();
}
const b=await chromium.connectOverCDP("http://127.0.0.1:7906");
const ctx=b.contexts()[0]; const page=ctx.pages()[0]||await ctx.newPage();
const B="http://127.0.0.1:7905/f/hazel-bend/";
let n=0;
const shot=async(name)=>{await page.screenshot({path:`/tmp/rev/${name}.png`,fullPage:true});};
const text=async()=>{console.log("== "+page.url());console.log((await page.locator("body").innerText()).replace(/\n\s*\n+/g,"\n"));};
const go=async(p)=>{await page.goto(p.startsWith("http")?p:B+p);};
const forms=async()=>{console.log(await page.evaluate(()=>[...document.forms].map((f,i)=>`FORM ${i} ${f.method} ${f.action} vis=${!!f.offsetParent}\n`+[...f.elements].map(e=>`   ${e.tagName} ${e.type} name=${e.name} val=${JSON.stringify((e.value||"").slice(0,40))} ${e.tagName=="SELECT"?"opts="+[...e.options].map(o=>o.value+":"+o.text).join("|"):""} ${e.tagName=="BUTTON"?e.innerText:(e.labels&&e.labels[0]?e.labels[0].innerText.replace(/\n/g," "):"")}`).join("\n")).join("\n")));};
const links=async()=>{console.log(await page.evaluate(()=>[...new Set([...document.querySelectorAll("a")].map(a=>a.innerText.trim()+" -> "+a.getAttribute("href")))].join("\n")));};
page.setDefaultTimeout(15000);
try{ await (Object.getPrototypeOf(async function(){}).constructor)("page","ctx","B","shot","text","go","forms","links",readFileSync(0,"utf8"))(page,ctx,B,shot,text,go,forms,links);}catch(e){console.log("ERR",e.message.slice(0,600));}
process.exit();
