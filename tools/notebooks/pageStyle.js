/** Variables of the exporter's page in the dark; the light ones are its own. */
const dark = {
  'layout-color0': '#14171b',
  'layout-color1': '#14171b',
  'layout-color2': '#1c2026',
  'layout-color3': '#2b3139',
  'content-font-color0': '#f4f5f6',
  'content-font-color1': '#e8eaed',
  'content-font-color2': '#c3c8cf',
  'content-font-color3': '#a6aeb8',
  'ui-font-color0': '#f4f5f6',
  'ui-font-color1': '#e8eaed',
  'ui-font-color2': '#c3c8cf',
  'content-link-color': '#8ecdf5',
  'border-color0': '#3c434c',
  'border-color1': '#3c434c',
  'border-color2': '#2b3139',
  'border-color3': '#2b3139',
  'cell-editor-background': '#1c2026',
  'cell-editor-border-color': '#3c434c',
  'cell-prompt-not-active-font-color': '#a6aeb8',
  'cell-inprompt-font-color': '#8ecdf5',
  'cell-outprompt-font-color': '#e0a080',
  'rendermime-table-row-background': '#1c2026',
  'rendermime-table-row-hover-background': '#2b3139',
  'rendermime-error-background': '#4a1f1f',
  'mirror-editor-keyword-color': '#7ee0a0',
  'mirror-editor-atom-color': '#9cb8ff',
  'mirror-editor-number-color': '#8fd694',
  'mirror-editor-def-color': '#a8c7ff',
  'mirror-editor-variable-color': '#e8eaed',
  'mirror-editor-variable-2-color': '#9ccfff',
  'mirror-editor-variable-3-color': '#8fd694',
  'mirror-editor-punctuation-color': '#9ccfff',
  'mirror-editor-property-color': '#9ccfff',
  'mirror-editor-operator-color': '#d9b3ff',
  'mirror-editor-comment-color': '#93a1a1',
  'mirror-editor-string-color': '#ff9d94',
  'mirror-editor-string-2-color': '#d9b3ff',
};

const darkVariables = Object.entries(dark)
  .map(([name, colour]) => `--jp-${name}:${colour}`)
  .join(';');

/** What the exporter's page lacks: a width to read in, room on a phone, dark where the reader's machine is dark. */
export const pageStyle = `
:root{color-scheme:light dark}
body.jp-Notebook{max-width:1080px;margin:0 auto;padding:12px;overflow-wrap:anywhere;box-sizing:border-box}
.jp-Cell{padding-left:0!important;padding-right:0!important}
.jp-RenderedHTMLCommon,.jp-MarkdownOutput{font-size:16px;line-height:1.55}
.jp-MarkdownOutput p{max-width:72ch}
.jp-RenderedImage img{max-width:100%;height:auto}
.jp-OutputArea-output pre{white-space:pre-wrap}
.jp-InputArea-prompt,.jp-OutputArea-prompt{flex:0 0 56px;min-width:0;font-size:12px}
div.highlight pre{white-space:pre-wrap;overflow-wrap:anywhere}
.jp-MarkdownCell .jp-InputPrompt{display:none}
.jp-OutputArea-child{display:table;table-layout:fixed;width:100%}
@media (max-width:640px){
.jp-InputArea-prompt,.jp-OutputArea-prompt{display:none}
.jp-RenderedHTMLCommon h1{font-size:1.6em}
.jp-RenderedHTMLCommon h2{font-size:1.3em}
body.jp-Notebook{padding:6px 10px}
}
@media (prefers-color-scheme:dark){
:root,body{${darkVariables}}
body.jp-Notebook{background:#14171b;color:#e8eaed}
.highlight,.highlight pre{background:#1c2026}
}`;
