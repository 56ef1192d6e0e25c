package android.content;

import android.net.Uri;
import android.os.Parcelable;
import java.util.TreeMap;

public class Intent implements Parcelable {
    public static final String ACTION_MAIN = "android.intent.action.MAIN";
    public static final String ACTION_VIEW = "android.intent.action.VIEW";
    public static final String ACTION_SEND = "android.intent.action.SEND";
    public static final String ACTION_SEND_MULTIPLE = "android.intent.action.SEND_MULTIPLE";
    public static final String ACTION_OPEN_DOCUMENT = "android.intent.action.OPEN_DOCUMENT";
    public static final String ACTION_CREATE_DOCUMENT = "android.intent.action.CREATE_DOCUMENT";
    public static final String CATEGORY_OPENABLE = "android.intent.category.OPENABLE";
    public static final String EXTRA_ALLOW_MULTIPLE = "android.intent.extra.ALLOW_MULTIPLE";
    public static final String EXTRA_STREAM = "android.intent.extra.STREAM";
    public static final String EXTRA_TITLE = "android.intent.extra.TITLE";
    public static final int FLAG_GRANT_READ_URI_PERMISSION = 1;

    private final String action;
    private String type;
    private Uri data;
    private ClipData clip;
    private int flags;
    private final TreeMap<String, Object> extras = new TreeMap<>();

    public Intent(String action) {
        this.action = action;
    }

    public String getAction() {
        return action;
    }

    public Intent setType(String type) {
        this.type = type;
        return this;
    }

    public Intent setData(Uri data) {
        this.data = data;
        return this;
    }

    public Uri getData() {
        return data;
    }

    public Intent addCategory(String category) {
        extras.put(category, "");
        return this;
    }

    public Intent putExtra(String name, boolean value) {
        extras.put(name, value);
        return this;
    }

    public Intent putExtra(String name, String value) {
        extras.put(name, value);
        return this;
    }

    public Intent putExtra(String name, Parcelable value) {
        extras.put(name, value);
        return this;
    }

    public void setClipData(ClipData clip) {
        this.clip = clip;
    }

    public ClipData getClipData() {
        return clip;
    }

    public Intent addFlags(int flags) {
        this.flags |= flags;
        return this;
    }

    public static Intent createChooser(Intent target, CharSequence title) {
        Intent chooser = new Intent("android.intent.action.CHOOSER");
        chooser.extras.put("target", target);
        return chooser;
    }

    @Override
    public String toString() {
        String clipped = clip == null ? "" : " clip=" + clip.getItemAt(0).getUri();
        return action + " type=" + type + " flags=" + flags + " " + extras + clipped;
    }
}
